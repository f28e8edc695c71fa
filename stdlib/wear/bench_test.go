package wear

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"os/exec"
	"slices"
	"strconv"
	"strings"
	"testing"

	"lapwright/stdlib/lap"
	"lapwright/stdlib/stroke"
	"lapwright/stdlib/unit"
)

const benchRim = 0.150

// benchSetting is one setting of the bench library: a round lap of 40 to 150 mm on
// a tangential stroke, on a mirror of 300 mm.
type benchSetting struct {
	b, load, at, length, q float64
}

func (s benchSetting) sweep() *sweep {
	f, _ := newFace(lap.Round(lap.Spec{Diameter: unit.Length(2 * s.b), Load: unit.Force(s.load)}), 0)
	return newSweep(glass{rim: benchRim}, f, stroke.Tangential(unit.Length(s.length), s.q, table), s.at, 1)
}

// benchLibrary returns n settings. Every other one overhangs the rim, so that its
// pressure is linear; the rest press evenly.
func benchLibrary(n int) []benchSetting {
	rng := rand.New(rand.NewPCG(5, 6))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	var sets []benchSetting
	for len(sets) < n {
		s := benchSetting{between(0.020, 0.075), between(2, 30), between(0.01, 0.14), between(0.02, 0.08), between(0.3, 12)}
		far := math.Hypot(s.at, s.length/2)
		if over := far+s.b > benchRim; over == (len(sets)%2 == 1) && far < 0.142 {
			sets = append(sets, s)
		}
	}
	return sets
}

func benchRadii(n int) []float64 {
	radii := make([]float64, n)
	for i := range radii {
		radii[i] = benchRim * (float64(i) + 0.5) / float64(n)
	}
	return radii
}

func BenchmarkProfile(b *testing.B) {
	sets, radii := benchLibrary(100), benchRadii(256)
	dst := make([]float64, len(radii))
	var c curves
	for i := 0; b.Loop(); i++ {
		sets[i%len(sets)].sweep().depths(dst, radii, &c)
	}
}

func BenchmarkWanderingProfile(b *testing.B) {
	f := round(0.035)
	s := stroke.Tangential(60*unit.MM, 7.3, table).Wander(4 * unit.MM)
	radii := benchRadii(256)
	dst := make([]float64, len(radii))
	var c curves
	for b.Loop() {
		newSweep(glass{rim: benchRim}, f, s, 0.1, 1).depths(dst, radii, &c)
	}
}

// library reckons all settings at n radii on all processors.
func library(sets []benchSetting, n int) [][]float64 {
	radii := benchRadii(n)
	out := make([][]float64, len(sets))
	share(len(sets), func(i int, c *curves) {
		out[i] = make([]float64, n)
		sets[i].sweep().depths(out[i], radii, c)
	})
	return out
}

// BenchmarkLibrary reckons 2,400 profiles, half of them with linear pressure.
func BenchmarkLibrary(b *testing.B) {
	sets := benchLibrary(2400)
	for _, n := range []int{64, 256, 1024} {
		b.Run(fmt.Sprint(n, "radii"), func(b *testing.B) {
			for b.Loop() {
				library(sets, n)
			}
		})
	}
}

// BenchmarkLibraryInNumpy reckons the same library at 256 radii in numpy, in two
// ways and with as many places as bring it near 1e-3 of the peak. The time is that
// which the script measures around the reckoning, without starting up; the error
// of both sides is against the exact profiles. It needs python3 with numpy and is
// skipped without. Let the machine do nothing else meanwhile.
//
//	go test -run - -bench 'Library' ./stdlib/wear
func BenchmarkLibraryInNumpy(b *testing.B) {
	python := ""
	for _, p := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(p, "-c", "import numpy").Run() == nil {
			python = p
			break
		}
	}
	if python == "" {
		b.Skip("no python3 with numpy (Debian: python3-numpy)")
	}
	sets := benchLibrary(2400)
	const n, exactly = 256, 200 // settings that are reckoned exactly, for the error
	radii := benchRadii(n)
	exact := make([][]float64, exactly)
	share(exactly, func(i int, c *curves) {
		s := sets[i].sweep()
		s.fine, s.fineArc = 3, 3
		exact[i] = make([]float64, n)
		for j, r := range radii {
			exact[i][j] = s.depth(r)
		}
	})
	var input strings.Builder
	fmt.Fprintln(&input, benchRim, n)
	for _, s := range sets {
		fmt.Fprintln(&input, s.b, s.load, s.at, s.length, s.q)
	}
	report := func(b *testing.B, got [][]float64) {
		e := greatest(got[:exactly], exact)
		b.ReportMetric(e[exactly/2], "median-error")
		b.ReportMetric(e[exactly*9/10], "p90-error")
		b.ReportMetric(e[exactly-1], "greatest-error")
	}
	b.Run("ours", func(b *testing.B) {
		var got [][]float64
		for b.Loop() {
			got = library(sets, n)
		}
		report(b, got)
	})
	for _, way := range [][]string{{"plain", "24", "8"}, {"careful", "12", "10"}, {"careful", "16", "12"}} {
		b.Run(strings.Join(way, "-"), func(b *testing.B) {
			for b.Loop() {
				cmd := exec.Command(python, append([]string{"testdata/numpy_wear.py"}, way...)...)
				cmd.Stdin = strings.NewReader(input.String())
				out, err := cmd.Output()
				if err != nil {
					b.Fatalf("%v: %s", err, err.(*exec.ExitError).Stderr)
				}
				lines := bytes.Split(out, []byte("\n"))
				seconds, err := strconv.ParseFloat(string(lines[0]), 64)
				if err != nil {
					b.Fatal(err)
				}
				b.ReportMetric(seconds*1e9, "ns/op")
				got := make([][]float64, len(sets))
				for i := range got {
					for _, field := range strings.Fields(string(lines[i+1])) {
						v, err := strconv.ParseFloat(field, 64)
						if err != nil {
							b.Fatal(err)
						}
						got[i] = append(got[i], v)
					}
				}
				report(b, got)
			}
		})
	}
}

// greatest returns the greatest error of each profile over its peak, smallest first.
func greatest(got, exact [][]float64) []float64 {
	var all []float64
	for i := range exact {
		peak, worst := 0.0, 0.0
		for j, want := range exact[i] {
			peak = max(peak, want)
			worst = max(worst, math.Abs(got[i][j]-want))
		}
		all = append(all, worst/peak)
	}
	slices.Sort(all)
	return all
}
