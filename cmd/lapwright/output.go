package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"lapwright/runtime/bundle"
	"lapwright/runtime/render"
	"lapwright/runtime/render/paper"
	"lapwright/stdlib/document"
)

// An output is a file that a document goes to. It is written beside the file it
// is to replace, so that there is always a whole file of that name or none.
type output struct {
	flag   string // that asked for it
	name   string // as given
	sheet  paper.Sheet
	target string   // what is replaced, links followed
	beside *os.File // what is written; nil once kept or discarded
}

type outputs []*output

// openOutputs makes sure, before anything runs, that every output can be written:
// the files named, and the one for the run card alone, if card is not "". An error
// leaves nothing behind.
func openOutputs(names []string, card string, sheet paper.Sheet) (outputs, error) {
	var all outputs
	open := func(flag, name string, endings []string) error {
		o, err := openOutput(flag, name, endings)
		if err != nil {
			return err
		}
		o.sheet = sheet
		all = append(all, o)
		for _, other := range all[:len(all)-1] {
			if other.target == o.target {
				return fmt.Errorf("%s %s: it is given twice", flag, name)
			}
		}
		return nil
	}
	var err error
	endings := slices.Sorted(slices.Values(append(render.Endings(), drawings)))
	for _, name := range names {
		if err == nil {
			err = open("-o", name, endings)
		}
	}
	if err == nil && card != "" {
		err = open(cardFlag, card, []string{".pdf"})
	}
	if err != nil {
		all.discard()
		return nil, err
	}
	return all, nil
}

// drawings is the ending of a file that holds nothing but the drawings at true size.
const drawings = ".svg"

// cardFlag is the option that asks for the run card alone.
const cardFlag = "--card"

func openOutput(flag, name string, endings []string) (*output, error) {
	if !slices.Contains(endings, strings.ToLower(filepath.Ext(name))) {
		return nil, fmt.Errorf("%s %s: the file's name must end in %s", flag, name, oneOf(endings))
	}
	o := &output{flag: flag, name: name, target: name}
	mode := os.FileMode(0o666)
	if info, err := os.Stat(name); err == nil {
		if !info.Mode().IsRegular() {
			return nil, fmt.Errorf("%s %s: it is there and is not a file", flag, name)
		}
		mode = info.Mode().Perm()
		if o.target, err = filepath.EvalSymlinks(name); err != nil {
			return nil, fmt.Errorf("%s %s: %w", flag, name, err)
		}
	}
	folder := filepath.Dir(o.target)
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return nil, fmt.Errorf("%s %s: there is no folder %s", flag, name, folder)
	}
	var err error
	if o.beside, err = beside(o.target, mode); err != nil {
		return nil, fmt.Errorf("%s %s: it cannot be written: %w", flag, name, err)
	}
	return o, nil
}

// oneOf lists endings in words.
func oneOf(endings []string) string {
	if len(endings) == 1 {
		return endings[0]
	}
	return "one of " + strings.Join(endings, " ")
}

// render draws a document in the form that an output asks for. A page carries b
// under that name, unless b is nil.
func (o *output) render(d *document.Document, b *bundle.Bundle, name string) ([]byte, error) {
	switch {
	case o.flag == cardFlag:
		data, n, err := render.PrintCards(d, o.sheet)
		if n == 0 {
			err = errors.New("the recipe shows no run card")
		}
		return data, err
	case strings.EqualFold(filepath.Ext(o.name), drawings):
		data, n := render.SVG(d)
		if n == 0 {
			return nil, errors.New("the recipe shows no drawing at true size, such as a mask")
		}
		return data, nil
	case strings.EqualFold(filepath.Ext(o.name), ".pdf"):
		return render.Print(d, o.sheet)
	case b != nil && strings.EqualFold(filepath.Ext(o.name), ".html"):
		page, err := render.HTML(d)
		if err != nil {
			return nil, err
		}
		return b.Carry(page, name)
	}
	return render.File(o.name, d)
}

// render writes the document beside every output.
func (all outputs) render(d *document.Document, b *bundle.Bundle, name string) error {
	for _, o := range all {
		data, err := o.render(d, b, name)
		if err == nil {
			_, err = o.beside.Write(data)
		}
		if err == nil {
			err = o.beside.Sync()
		}
		if err != nil {
			return fmt.Errorf("%s %s: it cannot be written: %w", o.flag, o.name, err)
		}
	}
	return nil
}

// keep puts every output in its place.
func (all outputs) keep() error {
	for _, o := range all {
		beside := o.beside
		err := beside.Close()
		if err == nil {
			err = os.Rename(beside.Name(), o.target)
		}
		if err != nil {
			return fmt.Errorf("%s %s: it cannot be written: %w", o.flag, o.name, err)
		}
		o.beside = nil
	}
	return nil
}

// discard removes what was written beside the outputs and not kept.
func (all outputs) discard() {
	for _, o := range all {
		if o.beside != nil {
			o.beside.Close()
			os.Remove(o.beside.Name())
			o.beside = nil
		}
	}
}
