package main

import (
	"testing"

	"lapwright/stdlib/document"
)

func TestExitCodeTellsHowARunEnded(t *testing.T) {
	faulty := func(k document.FaultKind) *document.Document {
		return &document.Document{Faults: []document.Fault{{Kind: k}}}
	}
	expecting := func(met bool) *document.Document {
		return &document.Document{Sections: []document.Section{{Blocks: document.Blocks{document.Expect{Met: met}}}}}
	}
	tests := []struct {
		name string
		d    *document.Document
		want int
	}{
		{"fine", expecting(true), 0},
		{"wrong", faulty(document.Wrong), 1},
		{"stopped", faulty(document.StoppedBy), 1},
		{"panicked", faulty(document.Panicked), 1},
		{"expectation not met", expecting(false), 2},
		{"expectation stopped it", faulty(document.Expectation), 2},
		{"limit", faulty(document.Limit), 3},
		{"engine fault", faulty(document.EngineFault), 4},
	}
	for _, test := range tests {
		if got := exitCode(test.d); got != test.want {
			t.Errorf("%s: code %d, want %d", test.name, got, test.want)
		}
	}
}
