package document

import (
	"encoding/json"
	"fmt"
)

// A Block is one thing a recipe showed. The set of kinds is closed; see Blocks.
type Block interface{ block() string }

// Blocks is a list of blocks. In JSON each is an object with one member, the
// kind's name: {"table": {…}}. The kinds are text, printed, table, plot, view,
// image, drawing, card, result and expect.
type Blocks []Block

// Text is a paragraph of plain words, not Markdown.
type Text struct {
	Text string `json:"text"`
}

// Printed is what the recipe printed with fmt, to the letter.
type Printed struct {
	Text string `json:"text"`
}

// A Table has a head with a unit for each column, and rows of cells.
type Table struct {
	Title   string   `json:"title"`
	Columns []Column `json:"columns"`
	Rows    [][]Cell `json:"rows"` // each as long as Columns
	Notes   []string `json:"notes,omitempty"`
}

// Turned returns the table with its rows as columns: a column of the old heads
// with their units, then one for each row, headed by the row's first cell.
func (t Table) Turned() Table {
	if len(t.Columns) == 0 {
		return t
	}
	turned := Table{Title: t.Title, Notes: t.Notes}
	turned.Columns = []Column{{Name: t.Columns[0].Name, Unit: t.Columns[0].Unit, Text: true}}
	for _, row := range t.Rows {
		turned.Columns = append(turned.Columns, Column{Name: cellAt(row, 0).Text})
	}
	for i, c := range t.Columns[1:] {
		cells := []Cell{{Text: Axis{Label: c.Name, Unit: c.Unit}.Caption()}}
		for _, row := range t.Rows {
			cells = append(cells, cellAt(row, i+1))
		}
		turned.Rows = append(turned.Rows, cells)
	}
	return turned
}

func cellAt(row []Cell, i int) Cell {
	if i < len(row) {
		return row[i]
	}
	return Cell{}
}

// Narrow returns the spells of the card as they are best read: turned where that
// takes fewer columns.
func (c Card) Narrow() Table {
	if t := c.Spells; len(t.Rows)+1 < len(t.Columns) {
		return t.Turned()
	}
	return c.Spells
}

// A Column is the head of one column of a table.
type Column struct {
	Name string `json:"name"`
	Unit string `json:"unit,omitempty"`
	Text bool   `json:"text,omitempty"` // words, set to the left; numbers are set to the right
}

// A Cell is one entry of a table.
type Cell struct {
	Text   string   `json:"text"`             // as printed, without the column's unit
	Number *float64 `json:"number,omitempty"` // at full precision, in the column's unit; nil for words
	Warn   bool     `json:"warn,omitempty"`   // needs the reader's eye
}

// A Plot is a drawing of curves over a common axis. It carries its data, so
// that each renderer can draw it in its own way and none needs another's.
type Plot struct {
	Title  string   `json:"title"`
	Alt    string   `json:"alt"` // what it shows, in a sentence or two made from the data
	X      Axis     `json:"x"`
	Y      Axis     `json:"y"`
	Curves []Curve  `json:"curves"`
	Marks  []Mark   `json:"marks,omitempty"`
	Below  []Span   `json:"below,omitempty"` // drawn under the axis: the openings of a mask
	Above  []Span   `json:"above,omitempty"` // drawn over the curves: where laps lie
	Notes  []string `json:"notes,omitempty"`
}

// An Axis has a label and a unit. Low and High fix its range where they differ.
type Axis struct {
	Label string  `json:"label"`
	Unit  string  `json:"unit,omitempty"`
	Low   float64 `json:"low,omitempty"`
	High  float64 `json:"high,omitempty"`
}

// A Curve is a line through points, with a band about it where Low and High are
// given. All its slices have the length of X.
type Curve struct {
	Name string    `json:"name"`
	Role Role      `json:"role"`
	X    []float64 `json:"x"`
	Y    []float64 `json:"y"`
	Low  []float64 `json:"low,omitempty"`
	High []float64 `json:"high,omitempty"`
	Band string    `json:"band,omitempty"` // what the band means: "68 % band"
}

// Role says what a curve stands for, so that a renderer can draw the same thing
// alike in every figure.
type Role string

// The roles of a curve.
const (
	Before   Role = "before"   // the glass as tested
	After    Role = "after"    // the glass as forecast
	Work     Role = "work"     // what a lap takes off
	Measured Role = "measured" // points with error bars, not a line
	Target   Role = "target"   // what it should be
	Other    Role = "other"
)

// A Mark is a labelled place on the X axis.
type Mark struct {
	At   float64 `json:"at"`
	Name string  `json:"name"`
}

// A Span is a labelled stretch of the X axis. Open ends are drawn so.
type Span struct {
	Name string  `json:"name"`
	From float64 `json:"from"`
	To   float64 `json:"to"`
}

// An Image is one picture in greys or several side by side: what an eye or a
// camera would see. It carries its greys, so that each renderer makes of them
// what it needs, and words for those that draw none.
type Image struct {
	Title  string   `json:"title"`
	Panels []Panel  `json:"panels"`
	Notes  []string `json:"notes,omitempty"`
}

// A Panel is one picture of an Image.
type Panel struct {
	Name   string `json:"name"`
	Alt    string `json:"alt"`    // what it shows, in a sentence or two made from the data
	Width  int    `json:"width"`  // greys in a row
	Height int    `json:"height"` // rows
	Grey   []byte `json:"grey"`   // rows from the top down, each from the left; 0 is black, 255 white; base64 in JSON
}

// PanelSide is the most greys a panel may have in a row, and the most rows.
const PanelSide = 1024

// A Card is a page to take to the machine.
type Card struct {
	Title    string   `json:"title"`
	Facts    []Fact   `json:"facts"`
	Spells   Table    `json:"spells"`
	Steps    []string `json:"steps"`
	Warnings []string `json:"warnings,omitempty"` // about this work
	Cautions []string `json:"cautions"`           // about the workshop
}

// A Fact is a name and what is so, both as words.
type Fact struct {
	Name string `json:"name"`
	Text string `json:"text"`
}

// Result is a result that has a name, so that two runs can be held against each
// other by it.
type Result struct {
	Name  string  `json:"name"`
	Unit  string  `json:"unit,omitempty"`
	Value float64 `json:"value"`
	Text  string  `json:"text"` // the whole in words
}

// Expect is a named result held against what the recipe's author expects.
type Expect struct {
	Name      string  `json:"name"`
	Unit      string  `json:"unit,omitempty"`
	Got       float64 `json:"got"`
	Want      float64 `json:"want"`
	Tolerance float64 `json:"tolerance"`
	Met       bool    `json:"met"`
	Text      string  `json:"text"` // the whole in words
}

func (Text) block() string    { return "text" }
func (Printed) block() string { return "printed" }
func (Table) block() string   { return "table" }
func (Plot) block() string    { return "plot" }
func (View) block() string    { return "view" }
func (Image) block() string   { return "image" }
func (Drawing) block() string { return "drawing" }
func (Card) block() string    { return "card" }
func (Result) block() string  { return "result" }
func (Expect) block() string  { return "expect" }

// Kind returns the name of a block's kind as JSON has it.
func Kind(b Block) string { return b.block() }

// Kinds returns the names of all kinds of block, each with an empty one of it.
func Kinds() map[string]Block {
	kinds := make(map[string]Block)
	for _, b := range []Block{Text{}, Printed{}, Table{}, Plot{}, View{}, Image{}, Drawing{}, Card{}, Result{}, Expect{}} {
		kinds[b.block()] = b
	}
	return kinds
}

// MarshalJSON writes each block as an object with its kind as the only member.
func (bs Blocks) MarshalJSON() ([]byte, error) {
	list := make([]map[string]Block, len(bs))
	for i, b := range bs {
		list[i] = map[string]Block{b.block(): b}
	}
	return json.Marshal(list)
}

// UnmarshalJSON reads what MarshalJSON writes. An unknown kind is an error.
func (bs *Blocks) UnmarshalJSON(data []byte) error {
	var list []map[string]json.RawMessage
	if err := json.Unmarshal(data, &list); err != nil {
		return err
	}
	*bs = make(Blocks, len(list))
	for i, object := range list {
		if len(object) != 1 {
			return fmt.Errorf("document: block %d has %d members, not the one that names its kind", i, len(object))
		}
		for kind, raw := range object {
			b, err := unmarshalBlock(kind, raw)
			if err != nil {
				return err
			}
			(*bs)[i] = b
		}
	}
	return nil
}

func unmarshalBlock(kind string, raw json.RawMessage) (b Block, err error) {
	switch kind {
	case "text":
		return decode[Text](raw)
	case "printed":
		return decode[Printed](raw)
	case "table":
		return decode[Table](raw)
	case "view":
		return decode[View](raw)
	case "plot":
		return decode[Plot](raw)
	case "image":
		return decode[Image](raw)
	case "drawing":
		return decode[Drawing](raw)
	case "card":
		return decode[Card](raw)
	case "result":
		return decode[Result](raw)
	case "expect":
		return decode[Expect](raw)
	}
	return nil, fmt.Errorf("document: no kind of block is named %q", kind)
}

func decode[B Block](raw json.RawMessage) (Block, error) {
	var b B
	err := json.Unmarshal(raw, &b)
	return b, err
}
