package host

import "testing"

func TestNearestNameIsFound(t *testing.T) {
	names := []string{"readings.csv", "before.csv", "recipe.go", "zone 1", "zone 2"}
	for word, want := range map[string]string{
		"reading.csv":  "readings.csv",
		"raedings.csv": "readings.csv",
		"Readings.CSV": "readings.csv",
		"zone1":        "zone 1",
		"befor.csv":    "before.csv",
		"x":            "",
		"":             "",
		"temperature":  "",
		"rea":          "readings.csv",
		"zon":          "", // of two
		"re":           "",
	} {
		if got := Nearest(word, names); got != want {
			t.Errorf("Nearest(%q) = %q, want %q", word, got, want)
		}
	}
}

func TestDistanceCountsEdits(t *testing.T) {
	// kitten, sitting is the usual worked example of the edit distance: 3.
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"ring", "rign", 1}, {"", "abc", 3}, {"µm", "mm", 1}, {"same", "same", 0}} {
		if got := distance(c.a, c.b); got != c.want {
			t.Errorf("distance(%q, %q) = %d, want %d", c.a, c.b, got, c.want)
		}
	}
}
