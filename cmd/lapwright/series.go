package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"

	"github.com/spf13/cobra"

	"lapwright/runtime/child"
	"lapwright/runtime/render"
	"lapwright/runtime/series"
	"lapwright/stdlib/document"
)

const aboutSeries = `Run a recipe once for each of several values of an input, and set the runs side by
side on one page, index.html of the folder that -o names.

--vary "ring=100mm, 120mm" lists values, --vary "ring=100mm to 140mm in 5" takes five
at even steps. Given more than once, every combination is run. A run that stops is
shown as that.

--part 3/8 runs every eighth member from the third on, for machines that share the
work; --join puts the parts in a folder together. Both are given the same recipe and
the same values, or nothing but the folder, for --join.`

func seriesCommand() *cobra.Command {
	var s seriesRun
	var vary []string
	var flags jobFlags
	var join string
	c := &cobra.Command{
		Use:   "series RECIPE",
		Short: "Run a recipe for several values of an input",
		Long:  aboutSeries,
		Example: `  lapwright series -o rings --vary "ring=110mm to 126mm in 5" recipes/high-ring
  lapwright series -o rings --vary "ring=110mm, 118mm" --part 2/2 recipes/high-ring
  lapwright series --join rings`,
		RunE: func(_ *cobra.Command, args []string) (err error) {
			if join != "" {
				if len(args) > 0 || len(vary) > 0 || s.into != "" {
					return errors.New("--join takes a folder and nothing else")
				}
				return joinSeries(join)
			}
			if len(args) != 1 || len(vary) == 0 || s.into == "" {
				return errors.New("series takes one recipe, -o FOLDER, and --vary with the values of an input")
			}
			file, err := recipeFile(args[0])
			if err != nil {
				return err
			}
			if s.job, err = flags.job(); err != nil {
				return err
			}
			s.job.File = file
			var axes []series.Axis
			for _, v := range vary {
				a, err := series.ParseAxis(v)
				if err != nil {
					return fmt.Errorf("--vary %w", err)
				}
				axes = append(axes, a)
			}
			source, err := os.ReadFile(file)
			if err != nil {
				return err
			}
			whole, err := series.New(filepath.Base(file), source, s.job.Inputs, axes...)
			if err != nil {
				return err
			}
			return s.run(whole)
		},
	}
	c.Flags().StringVarP(&s.into, "output", "o", "", "write the pages to `FOLDER`")
	c.Flags().StringArrayVar(&vary, "vary", nil, "give an input one value after another: `\"name=value, value\"`; may be given again")
	c.Flags().StringVar(&s.part, "part", "", "run a share of the members: `3/8` is the third of eight")
	c.Flags().StringVar(&join, "join", "", "put together the parts in `FOLDER`")
	flags.add(c)
	c.Flags().SortFlags = false
	return c
}

type seriesRun struct {
	into, part string
	job        child.Job
}

func (s *seriesRun) run(whole *series.Series) error {
	part, parts := 1, 1
	if s.part != "" {
		if n, err := fmt.Sscanf(s.part+"\n", "%d/%d\n", &part, &parts); n != 2 || err != nil || part < 1 || parts < part {
			return fmt.Errorf("--part is %q; write it as 3/8, the third of eight", s.part)
		}
	}
	if err := os.MkdirAll(s.into, 0o777); err != nil {
		complain(err)
		return exit(exitUse)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	want := func(i int) bool { return i%parts == part-1 }
	stopped := 0
	err := whole.Run(ctx, s.job, want, func(m *series.Member, result *child.Result) error {
		if len(m.Document.Faults) > 0 {
			stopped++
		}
		return s.keep(m, result)
	})
	var unknown *child.UnknownInput
	switch {
	case errors.As(err, &unknown):
		return err
	case ctx.Err() != nil:
		say("interrupted")
		return exit(exitInterrupted)
	case err != nil:
		complain(err)
		return exit(exitUse)
	}
	if stopped > 0 {
		say("%d of the runs stopped; the page shows why", stopped)
	}
	if parts > 1 {
		say("part %d of %d is in %s; once all are, lapwright series --join %s", part, parts, s.into, s.into)
		return nil
	}
	// What a longer series left there before is of another one.
	for i := len(whole.Inputs); i < series.Most; i++ {
		for _, ending := range []string{".json", ".html"} {
			if err := os.Remove(filepath.Join(s.into, series.Name(i)+ending)); err != nil && !errors.Is(err, os.ErrNotExist) {
				complain(err)
				return exit(exitUse)
			}
		}
	}
	return joinSeries(s.into)
}

// keep writes the page of a member, and the member itself to be joined.
func (s *seriesRun) keep(m *series.Member, result *child.Result) error {
	page, err := render.HTML(m.Document)
	if err != nil {
		return err
	}
	b, err := gather(s.job.File, result)
	if err != nil {
		return err
	}
	name := series.Name(m.Number)
	if page, err = b.Carry(page, shareName(s.job.File)+"-"+name); err != nil {
		return err
	}
	data, err := json.Marshal(m)
	if err != nil {
		return err
	}
	if err := writeWhole(filepath.Join(s.into, name+".html"), page); err != nil {
		return err
	}
	return writeWhole(filepath.Join(s.into, name+".json"), data)
}

// joinSeries makes the page of the members that lie in a folder.
func joinSeries(folder string) error {
	names, err := filepath.Glob(filepath.Join(folder, "[0-9][0-9][0-9][0-9].json"))
	if err == nil && len(names) == 0 {
		err = fmt.Errorf("%s holds no members of a series", folder)
	}
	var members []*series.Member
	for _, name := range names {
		var data []byte
		if data, err = os.ReadFile(name); err != nil {
			break
		}
		m := new(series.Member)
		if err = json.Unmarshal(data, m); err != nil || m.Whole == nil || m.Document == nil {
			err = fmt.Errorf("%s is no member of a series", name)
			break
		}
		members = append(members, m)
	}
	var page []byte
	if err == nil {
		page, err = series.Join(members)
	}
	if err == nil {
		err = writeWhole(filepath.Join(folder, "index.html"), page)
	}
	if err != nil {
		complain(err)
		return exit(exitUse)
	}
	if missing := len(members[0].Whole.Inputs) - len(members); missing > 0 {
		say("members that are missing: %d", missing)
	}
	fmt.Println(document.Line(filepath.Join(folder, "index.html")))
	return nil
}
