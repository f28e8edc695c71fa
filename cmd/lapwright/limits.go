package main

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"lapwright/runtime/child"
	"lapwright/stdlib/unit"
)

// limitFlags are the flags that limit a run, as they were given.
type limitFlags struct{ time, memory, shown, steps string }

// add gives a command the flags.
func (f *limitFlags) add(c *cobra.Command) {
	l := child.Default
	c.Flags().StringVar(&f.time, "time", unit.Time(l.Time.Seconds()).String(), "the longest a run may take, as 30s or 5min")
	c.Flags().StringVar(&f.memory, "memory", child.Bytes(l.Memory), "the most memory a recipe may hold")
	c.Flags().StringVar(&f.shown, "shown", child.Bytes(l.Output), "the most a recipe may show and print")
	c.Flags().StringVar(&f.steps, "steps", strconv.FormatInt(l.Steps, 10), "the most turns of loops and calls of functions")
}

// jobFlags are the flags of a command that runs recipes: values for inputs, and the
// limits.
type jobFlags struct {
	settings []string
	limits   limitFlags
}

// add gives a command the flags.
func (f *jobFlags) add(c *cobra.Command) {
	c.Flags().StringArrayVar(&f.settings, "set", nil, "give an input a value: `name=value`; may be given again")
	f.limits.add(c)
}

// job reads the flags. Which recipe is to run is left to the caller.
func (f *jobFlags) job() (j child.Job, err error) {
	if j.Inputs, err = parseSettings(f.settings); err != nil {
		return j, err
	}
	j.Limits, err = f.limits.parse()
	return j, err
}

// parse reads the limits of a run.
func (f *limitFlags) parse() (child.Limits, error) {
	l := child.Default
	t, err := unit.ParseTime(f.time)
	if err != nil {
		return l, fmt.Errorf("--time: %w", err)
	}
	if t < 0.1 || t > 24*unit.Hour {
		return l, fmt.Errorf("--time is %v; it must be from 0.1 s to 24 h", t)
	}
	l.Time = time.Duration(float64(t) * float64(time.Second))
	if l.Memory, err = parseBytes("--memory", f.memory, 64<<20, 1<<40); err != nil {
		return l, err
	}
	if l.Output, err = parseBytes("--shown", f.shown, 1<<10, 1<<30); err != nil {
		return l, err
	}
	if l.Steps, err = strconv.ParseInt(f.steps, 10, 64); err != nil || l.Steps < 1 {
		return l, fmt.Errorf("--steps is %q; it must be a whole number of 1 or more", f.steps)
	}
	return l, nil
}

// parseBytes reads an amount of memory, as child.Bytes prints it.
func parseBytes(flag, s string, low, high int64) (int64, error) {
	number := strings.TrimRight(s, " kKMGBbytes")
	size := map[string]float64{"kb": 1 << 10, "k": 1 << 10, "mb": 1 << 20, "m": 1 << 20, "gb": 1 << 30, "g": 1 << 30, "bytes": 1}
	factor, known := size[strings.ToLower(strings.TrimSpace(s[len(number):]))]
	v, err := strconv.ParseFloat(number, 64)
	if err != nil || !known {
		return 0, fmt.Errorf("%s is %q; write a number and kB, MB or GB, like 512MB", flag, s)
	}
	if bytes := v * factor; bytes >= float64(low) && bytes <= float64(high) {
		return int64(bytes), nil
	}
	return 0, fmt.Errorf("%s is %s; it must be from %s to %s", flag, s, child.Bytes(low), child.Bytes(high))
}
