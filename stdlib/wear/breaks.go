package wear

// breaks are places at which an integral is cut, some of them edges, where the
// integrand begins like a square root.
//
// The first two are the ends of the integral until sort is called.
type breaks struct {
	at [64]breakAt
	n  int
}

// A breakAt is one of them.
type breakAt struct {
	f    float64
	edge bool
}

func newBreaks(lo, hi float64) (b breaks) {
	b.add(lo, false)
	b.add(hi, false)
	return b
}

// add adds a place. Beyond the room there is, which takes a lap of very many bands
// near the centre, places are left out: it costs a little accuracy.
func (b *breaks) add(f float64, edge bool) {
	if b.n < len(b.at) {
		b.at[b.n] = breakAt{f, edge}
		b.n++
	}
}

// nearby is the part of an integral, or the angle, within which a place is near by.
const nearby = 0.3

// within adds an edge between the first two places, or marks the one it is just
// beyond.
func (b *breaks) within(f float64) {
	lo, hi := b.at[0].f, b.at[1].f
	switch margin := nearby * (hi - lo); {
	case f > lo && f < hi:
		b.add(f, true)
	case f > lo-margin && f <= lo:
		b.at[0].edge = true
	case f >= hi && f < hi+margin:
		b.at[1].edge = true
	}
}

// sort puts the places in order. A place close to an edge becomes one: the
// integrand on its other side is sharp too.
func (b *breaks) sort() {
	close := nearby / 10 * (b.at[1].f - b.at[0].f)
	for i := 1; i < b.n; i++ {
		for j := i; j > 0 && b.at[j].f < b.at[j-1].f; j-- {
			b.at[j], b.at[j-1] = b.at[j-1], b.at[j]
		}
	}
	for i := 1; i < b.n; i++ {
		if p, q := &b.at[i-1], &b.at[i]; q.f-p.f < close && (p.edge || q.edge) {
			p.edge, q.edge = true, true
		}
	}
}
