package show

import "testing"

// A tie is rounded the same way whichever side of it the last bits put a number.
func TestLastBitsDoNotDecideWhatIsPrinted(t *testing.T) {
	for _, v := range []float64{5.5874999999999995, 5.5875, 5.587500000000001} {
		if got := fixed(v, 3); got != fixed(5.5875, 3) {
			t.Errorf("%v is printed as %s, 5.5875 as %s", v, got, fixed(5.5875, 3))
		}
	}
	if got := fixed(-1e-9, 3); got != "0.000" {
		t.Errorf("a small negative number is printed as %s", got)
	}
}
