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
	"lapwright/stdlib/document"
)

const aboutUnpack = `Show what is in a bundle, or in a page that lapwright has written, and take it out.

Nothing in it is run. Without FOLDER nothing is written either. FOLDER must not be
there yet; it gets the recipe, the files it reads and its record, but not the page:
lapwright run makes that anew.

Whether the bundle is signed, and by whom, is said in any case. Whose a key is, is
looked up in a list of the keys you trust: lines of a name and a public key, in the
file that --trusted names or in lapwright/trusted in your folder of settings. A
bundle whose signature is wrong is not taken out.`

func unpackCommand() *cobra.Command {
	var trusted string
	c := &cobra.Command{
		Use:     "unpack BUNDLE [FOLDER]",
		Short:   "Show what is in a bundle or a page, and take it out",
		Long:    aboutUnpack,
		Example: "  lapwright unpack ring.lapwright.zip\n  lapwright unpack ring.html ring",
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) < 1 || len(args) > 2 {
				return fmt.Errorf("unpack takes a bundle and perhaps a folder, not %d names", len(args))
			}
			return nil
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if err := unpack(args[0], trusted, args[1:]); err != nil {
				complain(err)
				var bad *badBundle
				if errors.As(err, &bad) {
					return exit(exitRecipe)
				}
				return exit(exitUse)
			}
			return nil
		},
	}
	c.Flags().StringVar(&trusted, "trusted", "", "look up whose a key is in `FILE`")
	return c
}

// A badBundle is the error of a bundle that is refused.
type badBundle struct {
	name string
	why  error
}

func (b *badBundle) Error() string { return fmt.Sprintf("%s is refused: %v", b.name, b.why) }

func unpack(name, trusted string, into []string) error {
	keys, err := trustedKeys(trusted)
	if err != nil {
		return err
	}
	data, err := readUpTo(name, bundle.MaxSize)
	if err != nil {
		return err
	}
	b, err := bundle.Read(data)
	if err != nil {
		return &badBundle{name, err}
	}
	made, err := b.Record()
	if err != nil {
		return &badBundle{name, fmt.Errorf("its record is none: %w", err)}
	}
	signer, wrong := b.Signer()

	fmt.Print(opening(b))
	fmt.Println()
	for _, f := range b.Files {
		fmt.Printf("  %-30s %8.1f kB\n", document.Line(f.Name), float64(len(f.Data))/1e3)
	}
	fmt.Println()
	if made == nil {
		fmt.Println("It has no record.")
	} else {
		for _, in := range made.Inputs {
			fmt.Printf("  %s = %s\n", document.Line(in.Name), document.Line(in.Value))
		}
		fmt.Printf("Recorded:\n  what went in   %s\n  what came out  %s\n", made.Ingredients(), made.Fingerprint())
	}
	switch who := ""; {
	case wrong != nil:
		return &badBundle{name, fmt.Errorf("its signature is WRONG, it is not of what it holds (%w)", wrong)}
	case signer == nil:
		fmt.Println("It is NOT SIGNED: anyone can have made it.")
	default:
		if who = keys.Who(signer); who != "" {
			fmt.Printf("It is signed by %s, key %s.\n", document.Line(who), ssh.FingerprintSHA256(signer))
		} else {
			fmt.Printf("It is signed by a key that is NOT ON YOUR LIST, %s: anyone can have made it.\n", ssh.FingerprintSHA256(signer))
		}
	}
	if len(into) == 0 {
		return nil
	}
	files := make(map[string][]byte)
	for _, f := range b.Files {
		files[f.Name] = f.Data
	}
	if err := layOut(into[0], files); err != nil {
		return err
	}
	say("taken out to %s; nothing has been run", into[0])
	return nil
}

// trustedKeys reads the list of trusted keys. The one in the user's own settings
// need not be there.
func trustedKeys(name string) (bundle.Trusted, error) {
	own := name == ""
	if own {
		settings, err := os.UserConfigDir()
		if err != nil {
			return nil, nil
		}
		name = filepath.Join(settings, "lapwright", "trusted")
	}
	data, err := readUpTo(name, 1<<20)
	if own && errors.Is(err, os.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	keys, err := bundle.ReadTrusted(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	return keys, nil
}

// opening returns the comment a recipe begins with, its title and summary. It is
// found without parsing anything.
func opening(b *bundle.Bundle) string {
	const most = 40
	source, _ := b.File(b.Recipe)
	var lines []string
	for line := range strings.Lines(string(source)) {
		text, comment := strings.CutPrefix(line, "//")
		if !comment || len(lines) == most {
			break
		}
		lines = append(lines, strings.TrimRight(document.Line(strings.TrimPrefix(text, " ")), " "))
	}
	if len(lines) == 0 {
		return document.Line(b.Recipe) + "\n"
	}
	lines[0] = strings.TrimPrefix(lines[0], "# ")
	return strings.Join(lines, "\n") + "\n"
}
