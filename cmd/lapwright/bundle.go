package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"lapwright/runtime/bundle"
	"lapwright/runtime/child"
	"lapwright/runtime/record"
	"lapwright/runtime/render"
	"lapwright/stdlib/document"
)

const aboutBundle = `Put a recipe, the files it reads, its record and its page into one file to share.

The recipe is run for it. The file is a ZIP archive, the same byte for byte each
time, so that two people who made it can tell by its sum that they have the same.

With --sign it is signed by a key of yours, one that ssh-keygen has made without a
passphrase. lapwright unpack shows what is in a bundle and takes it out.`

func bundleCommand() *cobra.Command {
	var output, key string
	var flags jobFlags
	c := &cobra.Command{
		Use:     "bundle RECIPE",
		Short:   "Put a recipe and all that belongs to it into one file",
		Long:    aboutBundle,
		Example: "  lapwright bundle recipes/high-ring\n  lapwright bundle -o ring.zip --sign ~/.ssh/club recipes/high-ring",
		Args:    oneRecipe("bundle"),
		RunE: func(_ *cobra.Command, args []string) error {
			file, err := recipeFile(args[0])
			if err != nil {
				return err
			}
			job, err := flags.job()
			if err != nil {
				return err
			}
			job.File = file
			if output == "" {
				output = shareName(file) + bundle.Ending
			}
			return makeBundle(job, output, key)
		},
	}
	c.Flags().StringVarP(&output, "output", "o", "", "write the bundle to `FILE`")
	c.Flags().StringVar(&key, "sign", "", "sign it with the private key in `FILE`")
	flags.add(c)
	c.Flags().SortFlags = false
	return c
}

func makeBundle(job child.Job, output, key string) error {
	made, result, err := recorded(job)
	if err != nil {
		return err
	}
	b, err := gather(job.File, result)
	if err == nil {
		b.Files = append(b.Files, bundle.File{Name: record.Beside(b.Recipe), Data: made.Text()})
		err = inTime(func() (err error) {
			b.Page, err = render.HTML(result.Document)
			return err
		})
	}
	if err == nil && key != "" {
		var private []byte
		if private, err = os.ReadFile(key); err == nil {
			err = b.Sign(private)
		}
		if err != nil {
			err = fmt.Errorf("--sign %s: %w", key, err)
		}
	}
	var data []byte
	if err == nil {
		data, err = b.Bytes()
	}
	if err == nil {
		err = writeWhole(output, data)
	}
	if err != nil {
		complain(err)
		return exit(exitUse)
	}
	fmt.Printf("%s\n  what went in   %s\n  what came out  %s\n", document.Line(output), made.Ingredients(), made.Fingerprint())
	return ending(result.Document)
}

// shareName is what a recipe is called where it is shared: by its folder, or by
// its file where that is not recipe.go.
func shareName(file string) string {
	name := strings.TrimSuffix(filepath.Base(file), ".go")
	if folder, err := filepath.Abs(filepath.Dir(file)); err == nil && name == "recipe" {
		name = filepath.Base(folder)
	}
	return name
}

// gather puts a recipe that has run and the files it read into a bundle.
func gather(file string, result *child.Result) (*bundle.Bundle, error) {
	b := &bundle.Bundle{Recipe: result.Document.Recipe, Files: []bundle.File{{Name: result.Document.Recipe, Data: result.Source}}}
	root, err := os.OpenRoot(filepath.Dir(file))
	if err != nil {
		return nil, err
	}
	defer root.Close()
	for _, f := range result.Files {
		data, err := root.ReadFile(f.Name)
		if err != nil {
			return nil, err
		}
		if record.SHA256(data) != f.Sum {
			return nil, fmt.Errorf("%s was changed while the recipe ran; run it again", f.Name)
		}
		b.Files = append(b.Files, bundle.File{Name: f.Name, Data: data})
	}
	return b, nil
}
