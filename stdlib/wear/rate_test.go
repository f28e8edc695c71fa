package wear

import (
	"math"
	"strings"
	"testing"

	"lapwright/stdlib/unit"
)

// Area 4 of the references: 1.6e-12 m²/N is 16e-14 cm²/dyn [S]; with it, 6894.757
// Pa and 0.5 m/s wear 19.857 µm an hour, and 2e-13 at 2 kPa and 0.15 m/s 0.216 µm an
// hour [V]; the prior contains 1.6e-13 and 1.6e-12 [S].
func TestPublishedRates(t *testing.T) {
	const cm2PerDyn = 1e-4 / 1e-5 // m²/N
	near(t, "the unit of the old books", 16e-14*cm2PerDyn, 1.6e-12, 1e-25)
	perHour := func(k unit.Preston, p unit.Pressure, v float64) float64 {
		return float64(k) * float64(p) * v * 3600 / 1e-6
	}
	near(t, "fast", perHour(1.6e-12, 6894.757, 0.5), 19.857, 1e-3)
	near(t, "slow", perHour(2e-13, 2*unit.KPa, 0.15), 0.216, 1e-12)

	r := Published()
	low, high := r.Range()
	near(t, "low end", float64(low), 1.6e-13, 1e-27)
	near(t, "high end", float64(high), 1.6e-12, 1e-26)
	near(t, "width", float64(high/low), 10, 1e-9)
}

func TestRatesInWords(t *testing.T) {
	for _, test := range []struct {
		r    Rate
		want string
	}{
		{Published(), "5.06e-13 m²/N, uncertain by a factor of 3.2: 1.6e-13 to 1.6e-12"},
		{NewRate(4e-13, 1), "4e-13 m²/N"},
		{NewRate(4e-13, 1.2), "4e-13 m²/N, uncertain by a factor of 1.2: 3.33e-13 to 4.8e-13"},
	} {
		if got := test.r.String(); got != test.want {
			t.Errorf("got %q, want %q", got, test.want)
		}
	}
	// 0.15081 nm a turn for k = 1e-12 (area 5 [D]).
	if got, want := Published().DepthText(150.81), "0.076 nm, between 0.024 and 0.24"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if got, want := NewRate(1e-12, 1).DepthText(150.81), "0.15 nm"; got != want {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestImpossibleRatesAreRefused(t *testing.T) {
	for _, test := range []struct {
		k      unit.Preston
		factor float64
		want   string
	}{
		{0, 2, "wear.NewRate: k is 0 m²/N; it must be above 0"},
		{unit.Preston(math.NaN()), 2, "k is NaN"},
		{1, 2, "below 1e-9"},
		{5e-13, 0.5, "factor is 0.5; it must be from 1"},
		{5e-13, math.NaN(), "factor is NaN"},
		{5e-13, 2000, "factor is 2000"},
	} {
		if got := stop(func() { NewRate(test.k, test.factor) }); !strings.Contains(got, test.want) {
			t.Errorf("stopped with %q, want %q in it", got, test.want)
		}
	}
}
