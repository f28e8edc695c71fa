package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

// An output is a file that a document goes to. It is written beside the file it
// is to replace, so that there is always a whole file of that name or none.
type output struct {
	name   string   // as given
	target string   // what is replaced, links followed
	beside *os.File // what is written; nil once kept or discarded
}

type outputs []*output

// openOutputs makes sure, before anything runs, that every output can be written.
// An error leaves nothing behind.
func openOutputs(names []string) (outputs, error) {
	var all outputs
	for _, name := range names {
		o, err := openOutput(name)
		if err == nil {
			for _, other := range all {
				if other.target == o.target {
					err = fmt.Errorf("-o %s: it is given twice", name)
				}
			}
			all = append(all, o)
		}
		if err != nil {
			all.discard()
			return nil, err
		}
	}
	return all, nil
}

func openOutput(name string) (*output, error) {
	if !render.Known(name) {
		return nil, fmt.Errorf("-o %s: the file's name must end in one of %s", name, strings.Join(render.Endings(), " "))
	}
	o := &output{name: name, target: name}
	mode := os.FileMode(0o666)
	if info, err := os.Stat(name); err == nil {
		if !info.Mode().IsRegular() {
			return nil, fmt.Errorf("-o %s: it is there and is not a file", name)
		}
		mode = info.Mode().Perm()
		if o.target, err = filepath.EvalSymlinks(name); err != nil {
			return nil, fmt.Errorf("-o %s: %w", name, err)
		}
	}
	folder, base := filepath.Split(o.target)
	if info, err := os.Stat(filepath.Clean(folder)); folder != "" && (err != nil || !info.IsDir()) {
		return nil, fmt.Errorf("-o %s: there is no folder %s", name, filepath.Clean(folder))
	}
	var err error
	for n := 0; n < 100; n++ {
		beside := fmt.Sprintf("%s.%s.%d-%d.part", folder, base, os.Getpid(), n)
		if o.beside, err = os.OpenFile(beside, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode); !os.IsExist(err) {
			break
		}
	}
	if err != nil {
		return nil, fmt.Errorf("-o %s: it cannot be written: %w", name, err)
	}
	return o, nil
}

// render writes the document beside every output.
func (all outputs) render(d *document.Document) error {
	for _, o := range all {
		data, err := render.File(o.target, d)
		if err == nil {
			_, err = o.beside.Write(data)
		}
		if err == nil {
			err = o.beside.Sync()
		}
		if err != nil {
			return fmt.Errorf("-o %s: it cannot be written: %w", o.name, err)
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
			return fmt.Errorf("-o %s: it cannot be written: %w", o.name, err)
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
