// Package record keeps what a run was made from and what came out of it, so that
// anyone can run the recipe again, on another machine, years later, and see
// whether it says the same.
//
// A record is a text file beside its recipe, one value a line, so that it can be
// read, and merged like any text. Its lines are columns with tabs between them.
// The head says what went in:
//
//	lapwright record 1
//	engine	1
//	numbers	1
//	processor	amd64
//	ingredients	lusab-babad-gutih-tugad
//	results	…
//	recipe	recipe.go	(SHA-256 of the file)
//	file	readings.csv	(SHA-256 of the file)
//	input	ring	118 mm
//	input	table	5rpm	given
//
// What came out follows, under the recipe's own sections and the titles of what it
// showed:
//
//	# The figure
//	## table: How good the mirror is
//	as tested, surface rms, nm	14.0	14.03618…
//	## plot: The glass as tested
//	as tested #17		7.5	-3.14
//
// The columns are what it is, the text as printed, and the numbers at full
// precision, in the shortest decimals that give the same float64. What is drawn
// and not printed has numbers alone.
package record

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"runtime"
	"slices"
	"strings"

	"lapwright/runtime/child"
	"lapwright/stdlib/document"
)

// Format is the first line of a record. It changes when a reader of the old form
// could misread the new one.
const Format = "lapwright record 1"

// Engine is raised when a recipe of before can give something else because what
// a statement of Go does here has changed.
const Engine = 1

// Numbers is raised when a recipe of before can give something else because a
// primitive calculates or prints in another way.
const Numbers = 2

// Ending is what a record's file name ends in.
const Ending = ".record"

// Beside returns the name of the record of a recipe's file.
func Beside(recipe string) string { return strings.TrimSuffix(recipe, ".go") + Ending }

// A Record is what went into a run and what came out.
type Record struct {
	Engine, Numbers int
	Processor       string // GOARCH; not an ingredient, but where last digits may come from
	Recipe          Sum
	Files           []Sum   // the recipe opened, by name
	Inputs          []Input // in the order in which they were declared
	Results         []Entry
}

// A Sum is a file and the SHA-256 sum of its bytes, in hexadecimal.
type Sum struct{ Name, SHA256 string }

// An Input is an input as used.
type Input struct {
	Name, Value string
	Given       bool // set from outside, with Value as it was written there
}

// An Entry is one value that came out, or a row of values that belong together.
type Entry struct {
	Section string    // title of the section; "" above the first
	Block   string    // kind and title of what was shown
	Name    string    // within the block
	Text    string    // as printed; "" for what is drawn
	Numbers []float64 // at full precision; none for words
	Sum     string    // SHA-256 of what is too long to write out, in hexadecimal
}

// Of makes the record of a run that went well.
func Of(r *child.Result) (*Record, error) {
	d := r.Document
	if len(d.Faults) > 0 {
		return nil, fmt.Errorf("%s stopped; there is nothing to record", d.Recipe)
	}
	rec := &Record{Engine: Engine, Numbers: Numbers, Processor: runtime.GOARCH, Recipe: Sum{d.Recipe, SHA256(r.Source)}}
	for _, f := range r.Files {
		rec.Files = append(rec.Files, Sum{f.Name, f.Sum})
	}
	slices.SortFunc(rec.Files, func(a, b Sum) int { return strings.Compare(a.Name, b.Name) })
	for _, in := range d.Inputs {
		rec.Inputs = append(rec.Inputs, Input{in.Name, in.Value, in.Given})
	}
	var err error
	rec.Results, err = entries(d)
	return rec, err
}

// Given returns the inputs that were set from outside.
func (r *Record) Given() map[string]string {
	given := make(map[string]string)
	for _, in := range r.Inputs {
		if in.Given {
			given[in.Name] = in.Value
		}
	}
	return given
}

// SHA256 returns the sum of data in hexadecimal.
func SHA256(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// Ingredients is the fingerprint of what went in: recipe, files, inputs, and the
// revisions of engine and numbers.
func (r *Record) Ingredients() string { return fingerprint(r.ingredients()) }

// Fingerprint is the fingerprint of what came out, to the last bit.
func (r *Record) Fingerprint() string { return fingerprint(r.results()) }

// fingerprint returns the first 64 bits of the SHA-256 sum of s in words that can
// be read aloud: four of five letters, each for 16 bits, as D. S. Wilkerson
// proposes in "A Proposal for Proquints" (arXiv:0901.4016, 2009). It tells runs
// apart by ear; it is too short to prove anything against someone who means to
// deceive, for which the sums are there.
func fingerprint(s string) string {
	sum := sha256.Sum256([]byte(s))
	return spoken(sum[:8])
}

// spoken writes an even number of bytes in words.
func spoken(b []byte) string {
	const consonants, vowels = "bdfghjklmnprstvz", "aiou"
	var words []string
	for i := 0; i < len(b); i += 2 {
		v := uint(b[i])<<8 | uint(b[i+1])
		words = append(words, string([]byte{
			consonants[v>>12], vowels[v>>10&3], consonants[v>>6&15], vowels[v>>4&3], consonants[v&15],
		}))
	}
	return strings.Join(words, "-")
}

// key is what an entry is known by, where none before it is called the same.
func (e Entry) key() [3]string { return [3]string{e.Section, e.Block, e.Name} }

// Place says in words where an entry stands.
func (e Entry) Place() string {
	var parts []string
	for _, p := range e.key() {
		if p != "" {
			parts = append(parts, document.Line(p))
		}
	}
	return strings.Join(parts, " / ")
}
