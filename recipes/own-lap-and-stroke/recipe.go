// # A lap and a stroke of one's own
//
// Nothing on the shelf of this invented shop fits a broad shoulder on a 460 mm f/4 mirror. So one maker cut pitch away
// from a lap until it looked like a flower, and moves it in an eight. Neither has a name in the library; such a
// custom lap and a custom stroke can be described, and what they take off follows.
package main

import (
	"math"

	"lapwright/stdlib/figure"
	"lapwright/stdlib/input"
	"lapwright/stdlib/lap"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/plan"
	"lapwright/stdlib/show"
	"lapwright/stdlib/stroke"
	. "lapwright/stdlib/unit"
	"lapwright/stdlib/wear"
)

func main() {
	// ## The flower
	//
	// Seven petals of half a circle each about a whole core. All that counts is how much of each circle about the lap's
	// middle touches; a function works it out from the outline, and the lap takes it at seven radii.
	petals := input.Count("petals", 7, "number of petals", 3, 12)
	rim := 80 * MM
	shares := make([]lap.Share, 0, 7)
	for i := range 7 {
		t := rim * Length(i) / 6
		shares = append(shares, lap.Share{Radius: t, Share: touching(float64(t/rim), petals)})
	}
	spec := lap.Spec{Name: "flower", Diameter: 2 * rim, Load: 20 * Newton, Contact: 0.85, Limit: 4 * KPa}
	flower := lap.Shaped(spec, shares...)
	spec.Name = "round lap"
	round := lap.Round(spec)
	show.Plot("How much of each circle touches", "radius of the lap (mm)", "share", shape(flower), shape(round))
	show.Text("The flower presses with %s, the round lap of the same load with %s.", flower.PressureText(), round.PressureText())

	// ## The eight
	//
	// The path goes round an eight that lies along the ring: a list of points, closed by itself. Strokes are geared to the
	// table, 2.3 eights a turn, so that no two turns fall on each other, and wander in and out so that no edge stays
	// in one place.
	points := make([]stroke.Point, 0, 12)
	for i := range 12 {
		a := 2 * math.Pi * float64(i) / 12
		points = append(points, stroke.Point{Radial: Length(18*math.Sin(2*a)) * MM, Tangential: Length(50*math.Sin(a)) * MM})
	}
	table := 5 * RPM
	eight := stroke.Path(2.3, table, points...).Wander(4 * MM)
	plain := stroke.Tangential(100*MM, 2.3, table).Wander(4 * MM)

	// ## What they take off
	//
	// Each lap with each stroke at the same radius, a hundred turns: the flower's edge is soft, and the eight blurs it
	// further.
	blank := mirror.New(mirror.Spec{Name: "Invented 460 mm mirror", Diameter: 460 * MM, FocalLength: 1840 * MM, Bevel: 2 * MM, Thickness: 50 * MM})
	at := input.Length("at", 130*MM, "radius at which the laps work", 20*MM, 180*MM)
	rate := wear.NewRate(8e-13*PerPascal, 1.3)
	curves := make([]show.Curve, 0, 3)
	rows := make([][]any, 0, 3)
	for _, way := range []struct {
		name string
		s    wear.Setting
	}{
		{"round, along the ring", wear.Setting{Lap: round, Stroke: plain, At: at}},
		{"flower, along the ring", wear.Setting{Lap: flower, Stroke: plain, At: at}},
		{"flower, in an eight", wear.Setting{Lap: flower, Stroke: eight, At: at}},
	} {
		p := wear.New(blank, way.s)
		curves = append(curves, worn(way.name, p, rate))
		peak, depth := p.Peak()
		rows = append(rows, show.Row(way.name, peak, float64(rate.K)*depth*100*1e9, steepest(p, rate), 100*p.Uneven(peak, 100)))
	}
	show.Plot("What a hundred turns take off", "radius (mm)", "depth (nm)", curves...)
	show.Table("Side by side", show.Heads("way", "most at (mm)", "depth (nm)", "steepest (millionths)", "uneven around (%)"), rows...)

	// ## The shoulder
	//
	// The broad shoulder, given by heights, and a plan written by hand: the flower in an eight where the shoulder is
	// highest, as many turns as should take two thirds of it.
	shoulder := figure.FromHeights(blank, []Length{0, 60 * MM, 130 * MM, 190 * MM, 228 * MM}, []Length{0, 20 * NM, 110 * NM, 30 * NM, 0})
	middle := wear.New(blank, wear.Setting{Lap: flower, Stroke: eight, At: 130 * MM})
	_, perTurn := middle.Peak()
	turns := int(2. / 3 * 110e-9 / (float64(rate.K) * perTurn))
	mine := plan.New(shoulder, rate, plan.Spell{Lap: flower, Stroke: eight, At: 130 * MM, Turns: turns})
	show.Plan(mine)
	show.Card(mine)
}

// touching is the share of the circle at t, as a part of the lap's radius, that lies on a flower: whole up to a half, and
// beyond that within petals that end in half circles.
func touching(t float64, petals int) float64 {
	const core = 0.5
	if t <= core {
		return 1
	}
	// Half the width of a petal falls as a circle does, from touching its neighbours at the core to nothing at the rim.
	x := (t - core) / (1 - core)
	half := core * math.Sin(math.Pi/float64(petals)) * math.Sqrt(1-x*x)
	return float64(petals) * math.Asin(half/t) / math.Pi
}

// shape draws a lap's share of contact.
func shape(l *lap.Lap) show.Curve {
	c := show.Curve{Name: l.Name()}
	for i := range 81 {
		t := l.Radius() * Length(i) / 80
		c.X, c.Y = append(c.X, t.In(MM)), append(c.Y, l.Share(t))
	}
	return c
}

// worn draws what a hundred turns take off.
func worn(name string, p *wear.Profile, rate wear.Rate) show.Curve {
	c := show.Curve{Name: name}
	depths := p.PerTurn()
	for i, r := range figure.Grid(p.Mirror()) {
		c.X, c.Y = append(c.X, r*1e3), append(c.Y, float64(rate.K)*depths[i]*100*1e9)
	}
	return c
}

// steepest is the greatest slope that a hundred turns leave, in millionths.
func steepest(p *wear.Profile, rate wear.Rate) float64 {
	depths, radii := p.PerTurn(), figure.Grid(p.Mirror())
	most := 0.0
	for i := 1; i < len(depths); i++ {
		most = max(most, math.Abs(depths[i]-depths[i-1])/(radii[i]-radii[i-1]))
	}
	return 1e6 * 100 * float64(rate.K) * most
}
