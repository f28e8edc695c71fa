package picture

import (
	"fmt"
	"math"
	"slices"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// Star draws the image of a star, so far beyond the best focus, away from the mirror,
// or nearer to it where defocus is negative, in the light the mirror is judged in. It
// is drawn by the diffraction integral; see figure.Figure.Spread. For a mirror behind a
// secondary draw its figure.Figure.Obstructed. It stops the recipe where defocus is
// more than figure.MostDefocus waves at the edge.
func Star(f *figure.Figure, defocus unit.Length) *Picture {
	m := f.Mirror()
	waves := f.Defocus(defocus)
	if !(math.Abs(waves) <= figure.MostDefocus) {
		host.StopArg("picture.Star", "defocus", defocus, fmt.Sprintf("at most %v either way, %d waves at the edge",
			unit.Length(figure.MostDefocus/f.Defocus(1)), figure.MostDefocus))
	}
	// The cone of light is this wide, and rings reach out of it by some Airy radii.
	cone := math.Abs(float64(defocus)) / (2 * m.FocalRatio())
	reach := 1.25*cone + 5*float64(m.Airy())
	// Rings are half of λF apart, or more.
	points := int(reach/(0.12*float64(m.Wavelength())*m.FocalRatio())) + 2
	at := make([]unit.Length, points+1)
	for i := range at {
		at[i] = unit.Length(reach * float64(i) / float64(points))
	}
	profile := f.Spread(defocus, at...)
	most := slices.Max(profile)

	grey := make([]byte, 0, side*side)
	pixel := 2 * reach / side
	for row := range side {
		for column := range side {
			r := pixel * math.Hypot(float64(column)-float64(side-1)/2, float64(row)-float64(side-1)/2)
			bright := 0.0
			if x := r / reach * float64(points); x < float64(points) {
				i := int(x)
				bright = profile[i] + (x-float64(i))*(profile[i+1]-profile[i])
			}
			grey = append(grey, tone(math.Sqrt(bright/most)))
		}
	}
	p := &Picture{name: starName(defocus), side: side, grey: grey}
	p.note = "Idealised: one colour, steady air, a mirror without strain. Each star is shown by the square root of its brightness, so that faint rings are seen."
	wide := unit.Length(2*reach).Text(unit.MM, 3)
	if math.Abs(waves) < 0.01 {
		p.words = fmt.Sprintf("A star at best focus; the picture is %s wide. The middle has %.0f %% of the brightness that a perfect mirror gives it, the brightest ring %.1f %% of the middle.",
			wide, 100*profile[0], 100*brightestRing(profile)/profile[0])
		return p
	}
	rings := crests(profile, most)
	// The shadow of a hole, or of a secondary, has a bright point in its middle.
	edge := math.Max(cone, float64(m.Airy())) / reach * float64(points)
	middle := "bright"
	if mean(profile[:int(edge/5)+1]) < mean(profile[:int(edge)+1])/3 {
		middle = "dark"
	}
	outer := int(edge / 10) // beyond the point in the middle
	brightest := outer
	for i := outer; i < len(profile); i++ {
		if profile[i] > profile[brightest] {
			brightest = i
		}
	}
	p.words = fmt.Sprintf("A star %s, %.1f waves at the edge; the picture is %s wide. A disc with %s about a %s middle; beside its middle point it is brightest at %.0f %% of its radius.",
		starName(defocus), math.Abs(waves), wide, ringsText(rings), middle, 100*float64(brightest)/edge)
	return p
}

func starName(defocus unit.Length) string {
	switch {
	case defocus > 0:
		return defocus.Text(unit.MM, 2) + " outside focus"
	case defocus < 0:
		return (-defocus).Text(unit.MM, 2) + " inside focus"
	}
	return "at focus"
}

func ringsText(n int) string {
	switch n {
	case 0:
		return "no ring"
	case 1:
		return "one ring"
	}
	return fmt.Sprintf("%d rings", n)
}

// brightestRing is the greatest brightness beyond the first place where the profile
// stops falling.
func brightestRing(profile []float64) float64 {
	i := 1
	for i < len(profile)-1 && profile[i] <= profile[i-1] {
		i++
	}
	return slices.Max(profile[i:])
}

// mean is the mean brightness of a disc with that profile.
func mean(profile []float64) float64 {
	light, area := 0.0, 0.0
	for i, v := range profile {
		ring := float64(i) + 0.25
		light, area = light+v*ring, area+ring
	}
	return light / area
}

// crests counts the rings with more than a twentieth of the greatest brightness.
func crests(profile []float64, most float64) (n int) {
	for i := 1; i < len(profile)-1; i++ {
		if profile[i] > profile[i-1] && profile[i] >= profile[i+1] && profile[i] > most/20 {
			n++
		}
	}
	return n
}
