package main

import (
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"lapwright/runtime/manual"
	"lapwright/runtime/render"
	"lapwright/runtime/render/paper"
)

const aboutDoc = `Tell how a primitive is used, or what a page of the manual says. NAME is a page, a
package, or anything in a package, as zone.Reduce; any other words are searched
for. Without a name: what there is to ask for.

With -o the whole manual is written to a file, in the form its ending asks for:
.html (one page that needs nothing else), .md, .txt or .json.`

func docCommand() *cobra.Command {
	var names []string
	c := &cobra.Command{
		Use:     "doc [NAME]",
		Short:   "Tell how a primitive is used; show the manual",
		Long:    aboutDoc,
		Example: "  lapwright doc\n  lapwright doc zone.Reduce\n  lapwright doc turned edge\n  lapwright doc -o manual.html",
		RunE: func(_ *cobra.Command, args []string) error {
			m := manual.Read()
			if len(names) > 0 {
				if len(args) > 0 {
					return fmt.Errorf("with -o the whole manual is written; leave out %q", strings.Join(args, " "))
				}
				return writeManual(m, names)
			}
			d := m.Contents()
			if len(args) > 0 {
				asked := strings.Join(args, " ")
				var meant string
				if d, meant = m.Find(asked); d == nil {
					err := fmt.Errorf("the manual has nothing about %q", asked)
					if meant != "" {
						err = fmt.Errorf("%w; did you mean %s?", err, meant)
					}
					complain(err)
					return exit(exitUse)
				}
			}
			fmt.Print(render.Terminal(d, screen(os.Stdout)))
			return nil
		},
	}
	c.Flags().StringArrayVarP(&names, "output", "o", nil, "write the whole manual to `FILE`; may be given again")
	return c
}

func writeManual(m *manual.Manual, names []string) error {
	files, err := openOutputs(names, "", paper.A4)
	if err == nil {
		defer files.discard()
		err = files.render(m.Whole(), nil, "")
	}
	if err == nil {
		err = files.keep()
	}
	if err != nil {
		complain(err)
		return exit(exitUse)
	}
	return nil
}
