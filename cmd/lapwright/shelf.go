package main

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/crypto/ssh"

	"lapwright/runtime/bundle"
	"lapwright/runtime/child"
	"lapwright/runtime/record"
	"lapwright/runtime/render"
	"lapwright/runtime/shelf"
	"lapwright/stdlib/document"
)

const aboutShelf = `Make pages of a folder of recipes, to be put on a server or carried about.

FOLDER holds a folder for each recipe, with recipe.go in it, and bundles, with names
that end in .zip. Every recipe is run, behind its walls; its page is made anew, never
taken from a bundle. The first page, index.html, lists them with title, summary,
author (a line "Author: …" of the summary), inputs, and whether the run gives what
the record says; an index of words finds them without a script.`

func shelfCommand() *cobra.Command {
	var into, title, trusted string
	var limits limitFlags
	c := &cobra.Command{
		Use:     "shelf FOLDER",
		Short:   "Make pages of a folder of recipes and bundles",
		Long:    aboutShelf,
		Example: "  lapwright shelf -o site recipes",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 || into == "" {
				return errors.New("shelf takes one folder of recipes, and -o FOLDER for the pages")
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			l, err := limits.parse()
			if err != nil {
				return err
			}
			keys, err := trustedKeys(trusted)
			if err == nil {
				err = makeShelf(args[0], into, title, keys, l)
			}
			var code exit
			if err != nil && !errors.As(err, &code) {
				complain(err)
				return exit(exitUse)
			}
			return err
		},
	}
	c.Flags().StringVarP(&into, "output", "o", "", "write the pages to `FOLDER`")
	c.Flags().StringVar(&title, "title", "Recipes", "the title of the first page")
	c.Flags().StringVar(&trusted, "trusted", "", "look up whose a key is in `FILE`")
	limits.add(c)
	c.Flags().SortFlags = false
	return c
}

func makeShelf(folder, into, title string, keys bundle.Trusted, l child.Limits) error {
	entries, err := os.ReadDir(folder)
	if err != nil {
		return err
	}
	if err := os.MkdirAll(into, 0o777); err != nil {
		return err
	}
	var books []shelf.Book
	taken := map[string]bool{"index": true} // names of pages
	for _, e := range entries {
		name := filepath.Join(folder, e.Name())
		file := filepath.Join(name, "recipe.go")
		maker := ""
		if strings.EqualFold(filepath.Ext(name), ".zip") {
			unpacked, err := os.MkdirTemp("", "lapwright-shelf-")
			if err != nil {
				return err
			}
			defer os.RemoveAll(unpacked)
			if file, maker, err = openBundle(name, filepath.Join(unpacked, unzipped(e.Name())), keys); err != nil {
				say("%v; it is left out", err)
				continue
			}
		} else if _, err := os.Stat(file); err != nil {
			continue
		}
		called := shareName(file)
		if low := strings.ToLower(called); taken[low] {
			return fmt.Errorf("%s: there is a page %s.html already; give it another name", name, called)
		} else {
			taken[low] = true
		}
		b, err := putUp(file, into, called, l)
		if err != nil {
			return err
		}
		b.Maker = maker
		books = append(books, b)
	}
	if len(books) == 0 {
		return fmt.Errorf("%s holds no recipes", folder)
	}
	page, err := shelf.Page(title, books)
	if err == nil {
		err = writeWhole(filepath.Join(into, "index.html"), page)
	}
	if err == nil {
		fmt.Println(document.Line(filepath.Join(into, "index.html")))
	}
	return err
}

// unzipped is the name of a bundle's file without its ending.
func unzipped(name string) string {
	return strings.TrimSuffix(strings.TrimSuffix(name, filepath.Ext(name)), ".lapwright")
}

// openBundle takes a bundle out to a folder, and says who made it.
func openBundle(name, folder string, keys bundle.Trusted) (file, maker string, err error) {
	data, err := readUpTo(name, bundle.MaxSize)
	if err != nil {
		return "", "", err
	}
	b, err := bundle.Read(data)
	if err != nil {
		return "", "", &badBundle{name, err}
	}
	signer, err := b.Signer()
	switch {
	case err != nil:
		return "", "", &badBundle{name, fmt.Errorf("its signature is WRONG (%w)", err)}
	case signer == nil:
		maker = "not signed"
	default:
		if maker = keys.Who(signer); maker == "" {
			maker = "by a key that is not on the list, " + ssh.FingerprintSHA256(signer)
		}
	}
	files := make(map[string][]byte)
	for _, f := range b.Files {
		files[f.Name] = f.Data
	}
	return filepath.Join(folder, b.Recipe), maker, layOut(folder, files)
}

// putUp runs a recipe and writes its page, called so.
func putUp(file, into, called string, l child.Limits) (shelf.Book, error) {
	job := child.Job{File: file, Limits: l}
	was, err := readRecord(record.Beside(file))
	if err == nil {
		job.Inputs = was.Given()
	}
	result, stopped := runOnce(job)
	if stopped != nil {
		return shelf.Book{}, stopped
	}
	book := shelf.Book{Document: result.Document, Record: "it has none"}
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		book.Record = "it is not whole"
	}
	if len(result.Document.Faults) == 0 && was != nil {
		is, err := record.Of(result)
		if err != nil {
			return book, err
		}
		book.Record = verdict(record.Compare(was, is))
	}
	page, err := render.HTML(result.Document)
	if err != nil {
		return book, err
	}
	b, err := gather(file, result)
	if err != nil {
		return book, err
	}
	if page, err = b.Carry(page, called); err != nil {
		return book, err
	}
	book.Link = called + ".html"
	return book, writeWhole(filepath.Join(into, book.Link), page)
}
