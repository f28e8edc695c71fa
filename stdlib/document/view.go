package document

import (
	"fmt"
	"math"
	"strings"
)

// A View is laps on the mirror as they are seen from above, to scale. Lengths are
// in Unit; places are from the mirror's middle, x to the right and y upwards.
type View struct {
	Title  string   `json:"title"`
	Alt    string   `json:"alt"` // what it shows, in a sentence or two made from the data
	Unit   string   `json:"unit"`
	Radius float64  `json:"radius"`         // of the glass
	Clear  float64  `json:"clear"`          // of the worked face, inside any bevel
	Hole   float64  `json:"hole,omitempty"` // radius of the central hole; 0 for none
	Laps   []Laid   `json:"laps"`
	Notes  []string `json:"notes,omitempty"`
}

// A Laid is a lap where it is laid.
type Laid struct {
	Name   string    `json:"name"` // short: it is written on the lap
	Text   string    `json:"text"` // what the list beside the drawing says of it
	X      float64   `json:"x"`    // of its middle, in the middle of the stroke
	Y      float64   `json:"y"`
	Radius float64   `json:"radius"`
	Inner  []float64 `json:"inner,omitempty"` // radii of further edges of its face, as of a ring's hole
	PathX  []float64 `json:"pathX,omitempty"` // the way of its middle in one stroke; none for a lap held in place
	PathY  []float64 `json:"pathY,omitempty"`
}

// mostSteps is the most places a lap's way may have.
const mostSteps = 500

// Ends returns the two places on the way of the lap's middle that lie furthest
// apart, between which the lap swings: both are its own place for a lap held in
// place.
func (l Laid) Ends() (x1, y1, x2, y2 float64) {
	x1, y1, x2, y2 = l.X, l.Y, l.X, l.Y
	far := 0.0
	for i := range l.PathX {
		for j := range i {
			if d := math.Hypot(l.PathX[i]-l.PathX[j], l.PathY[i]-l.PathY[j]); d > far {
				far = d
				x1, y1, x2, y2 = l.PathX[j], l.PathY[j], l.PathX[i], l.PathY[i]
			}
		}
	}
	return x1, y1, x2, y2
}

// Reach returns how far from the mirror's middle the drawing goes: to the rim, or
// to what of a lap hangs furthest over it.
func (v View) Reach() float64 {
	reach := v.Radius
	for _, l := range v.Laps {
		x1, y1, x2, y2 := l.Ends()
		for _, at := range [][2]float64{{l.X, l.Y}, {x1, y1}, {x2, y2}} {
			reach = math.Max(reach, math.Hypot(at[0], at[1])+l.Radius)
		}
	}
	return reach
}

func (v View) check() error {
	if !finite(v.Radius, v.Clear, v.Hole) || v.Radius < 0 || v.Clear < 0 || v.Clear > v.Radius || v.Hole < 0 || v.Hole > v.Clear {
		return fmt.Errorf("document: view %q has a mirror of radius %v, %v clear, with a hole of %v", v.Title, v.Radius, v.Clear, v.Hole)
	}
	for _, l := range v.Laps {
		if !finite(l.X, l.Y, l.Radius) || !finite(l.Inner...) || !finite(l.PathX...) || !finite(l.PathY...) {
			return fmt.Errorf("document: lap %q of view %q holds a number that is not finite", l.Name, v.Title)
		}
		if len(l.PathX) > mostSteps {
			return fmt.Errorf("document: the way of lap %q of view %q has %d places; the most is %d", l.Name, v.Title, len(l.PathX), mostSteps)
		}
		if l.Radius < 0 || len(l.PathX) != len(l.PathY) {
			return fmt.Errorf("document: lap %q of view %q has a radius of %v and a way of %d x and %d y", l.Name, v.Title, l.Radius, len(l.PathX), len(l.PathY))
		}
		for _, r := range l.Inner {
			if r < 0 || r > l.Radius {
				return fmt.Errorf("document: lap %q of view %q has an edge at %v of %v", l.Name, v.Title, r, l.Radius)
			}
		}
	}
	return nil
}

// viewText says what a view shows.
func viewText(v View, columns int) string {
	var b strings.Builder
	if v.Title != "" {
		b.WriteString(Wrap(v.Title, "", "  ", columns))
	}
	if v.Alt != "" {
		b.WriteString(Wrap(v.Alt, "", "", columns))
	}
	for _, l := range v.Laps {
		name := Pad(Line(l.Name), 3)
		b.WriteString(Wrap(l.Text, name+" ", strings.Repeat(" ", Width(name)+1), columns))
	}
	for _, note := range v.Notes {
		b.WriteString(Wrap(note, "", "", columns))
	}
	return b.String()
}
