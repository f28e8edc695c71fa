package main

import (
	"errors"
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"lapwright/runtime/child"
	"lapwright/runtime/record"
	"lapwright/stdlib/document"
)

const aboutCompare = `Run recipes again and hold each against the record beside it (see lapwright record).

It says one of three things: the same to the last bit; the same in every printed
digit; or different, with the first difference by name, both values, how far they
are apart, and what else went in. What is drawn and not printed counts as the same
where it is off by less than the width of a line, a thousandth of the greatest
value of its curve.

A difference ends it with the code 2.`

func compareCommand() *cobra.Command {
	var c comparing
	var limits limitFlags
	cmd := &cobra.Command{
		Use:     "compare RECIPE...",
		Short:   "Run a recipe again and hold it against its record",
		Long:    aboutCompare,
		Example: "  lapwright compare recipes/high-ring",
		Args:    someRecipes,
		RunE: func(_ *cobra.Command, args []string) (err error) {
			if c.limits, err = limits.parse(); err != nil {
				return err
			}
			return eachRecipe(args, c.compare)
		},
	}
	cmd.Flags().BoolVar(&c.all, "all", false, "list every difference, not the first alone")
	cmd.Flags().BoolVar(&c.bits, "bits", false, "let a difference in the last bit count")
	limits.add(cmd)
	cmd.Flags().SortFlags = false
	return cmd
}

type comparing struct {
	all, bits bool
	limits    child.Limits
}

func (c comparing) compare(file string) error {
	was, err := readRecord(record.Beside(file))
	if errors.Is(err, os.ErrNotExist) {
		err = fmt.Errorf("%s has no record beside it; lapwright record makes one", file)
	}
	if err != nil {
		complain(err)
		return exit(exitUse)
	}
	is, _, err := recorded(child.Job{File: file, Inputs: was.Given(), Limits: c.limits})
	if err != nil {
		return err
	}
	found := record.Compare(was, is)
	fmt.Printf("%s: %s\n", document.Line(file), verdict(found))
	if found.Like != record.Bits && was.Processor != is.Processor {
		fmt.Printf("recorded on %s, this is %s\n", document.Line(was.Processor), is.Processor)
	}
	for _, what := range found.Changed {
		fmt.Printf("changed: %s\n", what)
	}
	listed := found.Differ
	if !c.all {
		listed = foremost(listed)
	}
	for _, d := range listed {
		fmt.Println(d)
	}
	if more := len(found.Differ) - len(listed); more > 0 {
		fmt.Printf("and %d more; --all lists them\n", more)
	}
	if len(found.Changed) == 0 && found.Like == record.Different {
		fmt.Println("nothing that went in has changed")
	}
	if found.Like == record.Different || c.bits && found.Like != record.Bits {
		return exit(exitExpectation)
	}
	return nil
}

// foremost returns the first difference and, where that is one of words alone, the
// first of numbers as well.
func foremost(all []record.Difference) []record.Difference {
	for i, d := range all {
		if _, _, ok := d.Numbers(); ok {
			return append(all[:min(i, 1):min(i, 1)], d)
		}
	}
	return all[:min(len(all), 1)]
}

// verdict says how alike two runs are.
func verdict(c record.Comparison) string {
	seen := 0
	for _, d := range c.Differ {
		if d.Seen {
			seen++
		}
	}
	switch c.Like {
	case record.Bits:
		return fmt.Sprintf("the same to the last bit (%d values)", c.Values)
	case record.Digits:
		return fmt.Sprintf("the same in every printed digit; %d of %d values differ beyond", len(c.Differ), c.Values)
	}
	if beyond := len(c.Differ) - seen; beyond > 0 {
		return fmt.Sprintf("different: %d of %d values, and %d more beyond the printed digits", seen, c.Values, beyond)
	}
	return fmt.Sprintf("different: %d of %d values", seen, c.Values)
}

// readRecord reads the record of that name.
func readRecord(name string) (*record.Record, error) {
	data, err := readUpTo(name, record.MaxSize)
	if err != nil {
		return nil, err
	}
	r, err := record.Read(data)
	if err != nil {
		return nil, fmt.Errorf("%s is no whole record: %w", name, err)
	}
	return r, nil
}
