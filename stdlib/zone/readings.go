package zone

import (
	"fmt"
	"math"
	"strconv"

	"lapwright/stdlib/host"
	"lapwright/stdlib/mirror"
	"lapwright/stdlib/unit"
)

// Sheet says how readings were taken and how the sheet is written.
type Sheet struct {
	Source  Source      // Moving where left out
	Unit    unit.Length // of the numbers; MM where left out
	Scatter unit.Length // what one reading is thought to scatter by, before looking; 0 for what is usual
	KeepAll bool        // count readings that do not fit the others as the rest
}

// What one reading usually scatters by, as a standard deviation, where the
// caller does not say: common practice, no source. A fixed source doubles the
// readings and with them the scatter.
const (
	usualMoving = 0.02 * unit.MM
	usualFixed  = 0.04 * unit.MM
	usualAcross = 0.01 * unit.MM // of a place across the axis
)

// MaxSets is the most sets of readings there may be.
const MaxSets = 1000

func (s Sheet) checked(call string, m *mirror.Mirror, w Way) Sheet {
	s.Source.check(call, m)
	switch s.Unit {
	case 0:
		s.Unit = unit.MM
	case unit.MM, unit.CM, unit.UM, unit.Metre, unit.Inch, unit.Thou:
	default:
		host.StopArg(call, "Unit", s.Unit, "MM, CM, UM, Metre, Inch or Thou")
	}
	if s.Scatter == 0 {
		s.Scatter = usualMoving
		switch {
		case w == Centres:
			s.Scatter = usualAcross
		case s.Source.fixed:
			s.Scatter = usualFixed
		}
	}
	if !(s.Scatter >= 0.1*unit.UM && s.Scatter <= 10*unit.MM) {
		host.StopArg(call, "Scatter", s.Scatter, "0.1 µm to 10 mm")
	}
	return s
}

// Readings are sets of knife positions, one position for each zone in each set.
// Each set has a zero of its own. They do not change.
type Readings struct {
	mask  *Mask
	sheet Sheet
	way   Way
	sets  []set
	fit   fit
}

// A set is one pass over the zones.
type set struct {
	about  Set
	values []float64 // metres, as read; NaN where none was taken
	places []string  // of the values in the file: "readings.csv:4:7"
	apart  []float64 // left less right, where they are read apart
}

// A Set is what is known of one set of readings.
type Set struct {
	Name        string     // its number where it has none
	Angle       unit.Angle // how far the mirror was turned; NaN where not noted
	Date        string     // as written; "" where not noted
	Temperature float64    // °C; NaN where not noted
	Taken       int        // readings; of a pair both make one
	Missing     int
}

// Given returns readings written in the recipe itself: one slice a set, one
// number a zone, in the sheet's unit, NaN for one that was not taken. It stops
// the recipe where a set has not as many numbers as the mask has zones, where a
// number is infinite or larger than the focal length, where a zone has no
// reading at all or a set fewer than two, where there are no sets or more than 1000,
// and where the zones read so far apart that no mirror near its target can.
func Given(k *Mask, s Sheet, sets ...[]float64) *Readings {
	const call = "zone.Given"
	s = s.checked(call, k.m, Together)
	r := &Readings{mask: k, sheet: s}
	for i, numbers := range sets {
		name := strconv.Itoa(i + 1)
		if len(numbers) != k.Zones() {
			host.Stopf(call, "set %s has %d numbers; the mask has %d zones", name, len(numbers), k.Zones())
		}
		one := set{about: Set{Name: name, Angle: unit.Angle(math.NaN()), Temperature: math.NaN()}}
		for j, v := range numbers {
			place := fmt.Sprintf("set %s, zone %d", name, j+1)
			v *= float64(s.Unit)
			if err := k.reason(v); err != "" {
				host.Stopf(call, "%s: %s", place, err)
			}
			one.values, one.places = append(one.values, v), append(one.places, place)
		}
		r.sets = append(r.sets, one)
	}
	r.finish(call)
	return r
}

// reason says what is wrong with a reading, if anything.
func (k *Mask) reason(v float64) string {
	if f := float64(k.m.FocalLength()); math.Abs(v) > f {
		return fmt.Sprintf("the reading is %v; it must be less than the focal length, %v: is the unit right?", unit.Length(v), k.m.FocalLength())
	}
	return ""
}

// finish checks that there is enough to go on and fits means and zeros.
func (r *Readings) finish(call string) {
	if n := len(r.sets); n == 0 || n > MaxSets {
		host.Stopf(call, "there are %d sets of readings; there must be 1 to %d", n, MaxSets)
	}
	taken := make([]int, r.mask.Zones())
	for n, s := range r.sets {
		count := 0
		for i, v := range s.values {
			if !math.IsNaN(v) {
				taken[i]++
				count++
			}
		}
		if count < 2 {
			host.Stopf(call, "set %s (%s) has too few readings, %d; a set must have at least 2", s.about.Name, s.places[0], count)
		}
		r.sets[n].about.Taken, r.sets[n].about.Missing = count, len(s.values)-count
	}
	for i, n := range taken {
		if n == 0 {
			host.Stopf(call, "zone %d has no reading in any set; each zone must be read at least once", i+1)
		}
	}
	r.fit = newFit(r.sets, r.shape(), float64(r.sheet.Scatter), !r.sheet.KeepAll)
	if !r.fit.joined {
		host.Stopf(call, "the sets do not hang together: some zones were never read in one set with the others")
	}
	r.plausible(call)
}

// plausible stops the recipe where a zone reads so far from the others that a point
// was left out of a number or the unit is wrong: by more than a conic that is several
// times as far from the sphere as the target, and 10 µm of surface besides, account for.
func (r *Readings) plausible(call string) {
	m := r.mask.m
	R, clear := float64(m.Radius()), float64(m.Clear())
	most := 2*(1+math.Abs(m.Spec().Shape.Constant()))*clear*clear/R + 2*10e-6*R*R/(clear*clear)
	ideal := tester{m, r.sheet.Source}.means(r.mask, perfect)
	shift := r.commonShift(ideal)
	zone, off := 0, 0.0
	for i, v := range ideal {
		if d := r.fit.mean[i] - v - shift; math.Abs(d) > math.Abs(off) {
			zone, off = i, d
		}
	}
	if math.Abs(off) <= most {
		return
	}
	s := 0
	for !r.fit.use[s][zone] {
		s++
	}
	u := r.sheet.Unit
	host.Stopf(call, "%s: zone %d reads %s from where it should, the other zones taken together; the most is %s: is a point left out, or the unit wrong? The readings are taken as %s",
		r.sets[s].places[zone], zone+1, unit.Length(off).Text(u, 1), unit.Length(most).Text(u, 1), u.Symbol())
}

// Mask returns the mask they were taken through.
func (r *Readings) Mask() *Mask { return r.mask }

// Source returns what the light source did.
func (r *Readings) Source() Source { return r.sheet.Source }

// Way returns how the zones were read.
func (r *Readings) Way() Way { return r.way }

// Unit returns the unit they are written in.
func (r *Readings) Unit() unit.Length { return r.sheet.Unit }

// Sets returns the number of sets.
func (r *Readings) Sets() int { return len(r.sets) }

// Set returns what is known of set s, counted from 0.
func (r *Readings) Set(s int) Set {
	r.check("zone.Readings.Set", s, 0)
	return r.sets[s].about
}

// Value returns the reading of zone i in set s, both counted from 0, as read, and
// whether one was taken. Of left and right openings it is the mean; of the places of
// a centre of curvature it is what they stand for (see Caustic).
func (r *Readings) Value(s, i int) (value unit.Length, taken bool) {
	r.check("zone.Readings.Value", s, i)
	v := r.sets[s].values[i]
	return unit.Length(v), !math.IsNaN(v)
}

func (r *Readings) check(call string, s, i int) {
	if s < 0 || s >= len(r.sets) {
		host.StopArg(call, "s", s, fmt.Sprintf("from 0 to %d", len(r.sets)-1))
	}
	if i < 0 || i >= r.mask.Zones() {
		host.StopArg(call, "i", i, fmt.Sprintf("from 0 to %d", r.mask.Zones()-1))
	}
}

// Scatter returns by how much one reading scatters about the mean of its zone,
// as a standard deviation over all zones, once each set's zero is taken out. Of
// left and right openings it is that of their mean; of centres of curvature, that of
// a place across the axis.
// What was thought before looking counts as much as 4 free readings; with one
// set it is all there is, and measured is false.
func (r *Readings) Scatter() (scatter unit.Length, measured bool) {
	return unit.Length(r.fit.scatter), r.fit.free > 0
}

// A Mean is what the sets say together about one zone.
type Mean struct {
	Zone    int         // from 1 at the centre
	Taken   int         // readings that count
	Reading unit.Length // mean over the sets, from that of zone 1
	Ideal   unit.Length // what a perfect mirror gives, from zone 1
	Off     unit.Length // reading less ideal, their best common offset taken out
	Doubt   unit.Length // standard deviation of Off
	Scatter unit.Length // standard deviation of one reading of this zone, drawn towards that of all
}

// Means returns the mean readings of all zones. The best common offset is the
// one that leaves the least mean square, each zone counting by its weight.
func (r *Readings) Means() []Mean {
	ideal := tester{r.mask.m, r.sheet.Source}.means(r.mask, perfect)
	f := &r.fit
	n := len(ideal)
	shift, weight := r.commonShift(ideal), 0.0
	for i := range n {
		weight += f.weight(i)
	}
	list := make([]Mean, n)
	for i := range list {
		// The variance of off less the weighted mean of all.
		v := f.cov.At(i, i)
		for j := range n {
			v -= 2 * f.weight(j) / weight * f.cov.At(i, j)
			for k := range n {
				v += f.weight(j) * f.weight(k) / (weight * weight) * f.cov.At(j, k)
			}
		}
		list[i] = Mean{
			Zone:    i + 1,
			Taken:   f.taken[i],
			Reading: unit.Length(f.mean[i] - f.mean[0]),
			Ideal:   unit.Length(ideal[i] - ideal[0]),
			Off:     unit.Length(f.mean[i] - ideal[i] - shift),
			Doubt:   unit.Length(math.Sqrt(math.Max(0, v))),
			Scatter: unit.Length(math.Sqrt(f.variance[i])),
		}
	}
	return list
}

// A Suspect is a reading that does not fit the others.
type Suspect struct {
	Set     string
	Zone    int         // from 1 at the centre
	Place   string      // in the file, line and column
	Value   unit.Length // as read
	Off     unit.Length // from what the other sets give for it
	Moves   unit.Length // what counting it adds to the mean reading of its zone
	Counted bool        // Sheet.KeepAll was set
}

// Suspects returns the readings that do not fit the others: that chance alone
// would give in one sheet of a hundred (Student's t of the residual left out of
// its own fit, with Bonferroni's correction). They are left out of the means
// unless the sheet says KeepAll. At most one reading in ten is suspected, and
// none of a zone that was read fewer than three times.
func (r *Readings) Suspects() []Suspect {
	var list []Suspect
	for _, s := range r.fit.suspects {
		one := r.sets[s.set]
		list = append(list, Suspect{
			Set: one.about.Name, Zone: s.zone + 1, Place: one.places[s.zone], Value: unit.Length(one.values[s.zone]),
			Off: unit.Length(s.off), Moves: unit.Length(s.moves), Counted: r.sheet.KeepAll,
		})
	}
	return list
}
