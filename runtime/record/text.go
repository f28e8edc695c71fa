package record

import (
	"bytes"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"math"
	"strconv"
	"strings"
)

// MaxSize is the size of the largest record that is read.
const MaxSize = 64 << 20

// Text returns the record as it is written.
func (r *Record) Text() []byte {
	var b bytes.Buffer
	b.WriteString(Format + "\n")
	line(&b, "processor", r.Processor)
	line(&b, "ingredients", r.Ingredients())
	line(&b, "results", r.Fingerprint())
	b.WriteString(r.ingredients())
	b.WriteString(r.results())
	return b.Bytes()
}

func (r *Record) ingredients() string {
	var b bytes.Buffer
	line(&b, "engine", strconv.Itoa(r.Engine))
	line(&b, "numbers", strconv.Itoa(r.Numbers))
	line(&b, "recipe", r.Recipe.Name, r.Recipe.SHA256)
	for _, f := range r.Files {
		line(&b, "file", f.Name, f.SHA256)
	}
	for _, in := range r.Inputs {
		if in.Given {
			line(&b, "input", in.Name, in.Value, given)
		} else {
			line(&b, "input", in.Name, in.Value)
		}
	}
	return b.String()
}

// given marks an input that was set from outside.
const given = "given"

func (r *Record) results() string {
	var b bytes.Buffer
	var before Entry
	for i, e := range r.Results {
		if i == 0 || e.Section != before.Section {
			b.WriteString("\n# " + escape(e.Section) + "\n")
			before.Block = ""
		}
		if e.Block != before.Block {
			b.WriteString("## " + escape(e.Block) + "\n")
		}
		columns := []string{e.Name, e.Text}
		for _, v := range e.Numbers {
			columns = append(columns, strconv.FormatFloat(v, 'g', -1, 64))
		}
		if e.Sum != "" {
			columns = append(columns, sumMark+e.Sum)
		}
		line(&b, columns...)
		before = e
	}
	return b.String()
}

// sumMark stands before the sum of an entry.
const sumMark = "sha256:"

// line writes columns.
func line(b *bytes.Buffer, columns ...string) {
	for i, c := range columns {
		if i > 0 {
			b.WriteByte('\t')
		}
		c = escape(c)
		if i == 0 && strings.HasPrefix(c, "#") {
			c = `\x23` + c[1:]
		}
		b.WriteString(c)
	}
	b.WriteByte('\n')
}

// escape writes a text without line ends and tabs, and without characters that
// act, as a Go string has them.
func escape(s string) string {
	q := strconv.Quote(s)
	return strings.ReplaceAll(q[1:len(q)-1], `\"`, `"`)
}

// unescape reads what escape writes.
func unescape(s string) (string, error) {
	text, err := strconv.Unquote(`"` + strings.ReplaceAll(s, `"`, `\"`) + `"`)
	if err != nil {
		return "", fmt.Errorf("%q is not written as a record writes it", s)
	}
	return text, nil
}

// Read reads a record. An error says in which line it is none, or that it was
// changed after it was made.
func Read(data []byte) (*Record, error) {
	if len(data) > MaxSize {
		return nil, fmt.Errorf("it is larger than %d MB", MaxSize>>20)
	}
	lines := strings.Split(strings.ReplaceAll(string(data), "\r\n", "\n"), "\n")
	if lines[0] != Format {
		return nil, fmt.Errorf("its first line is not %q", Format)
	}
	p := parser{record: new(Record)}
	for i, text := range lines[1:] {
		if err := p.line(text); err != nil {
			return nil, fmt.Errorf("line %d: %w", i+2, err)
		}
	}
	r := p.record
	switch {
	case r.Engine < 1 || r.Numbers < 1 || r.Recipe.Name == "":
		return nil, errors.New("it does not say of which recipe, engine and numbers it is")
	case p.ingredients != r.Ingredients() || p.results != r.Fingerprint():
		return nil, errors.New("its fingerprints are not those of what it holds: it was changed after it was made")
	}
	return r, nil
}

// A parser reads the lines of a record.
type parser struct {
	record               *Record
	ingredients, results string
	body                 bool // past the head
	section, block       string
}

func (p *parser) line(text string) (err error) {
	if text == "" {
		return nil
	}
	if title, ok := strings.CutPrefix(text, "## "); ok && p.body {
		p.block, err = unescape(title)
		return err
	}
	if title, ok := strings.CutPrefix(text+" ", "# "); ok {
		p.body, p.block = true, ""
		p.section, err = unescape(strings.TrimSuffix(title, " "))
		return err
	}
	columns := strings.Split(text, "\t")
	for i, c := range columns {
		if columns[i], err = unescape(c); err != nil {
			return err
		}
	}
	if p.body {
		return p.entry(columns)
	}
	return p.head(columns)
}

func (p *parser) head(columns []string) (err error) {
	r := p.record
	more := 1
	switch columns[0] {
	case "recipe", "file":
		more = 2
	case "input":
		if more = 2; len(columns) == 4 && columns[3] == given {
			more = 3
		}
	}
	if len(columns) != 1+more {
		return fmt.Errorf("%d columns after %q, not %d", len(columns)-1, columns[0], more)
	}
	switch name := columns[1]; columns[0] {
	case "engine":
		r.Engine, err = revision(name)
	case "numbers":
		r.Numbers, err = revision(name)
	case "processor":
		r.Processor = name
	case "ingredients":
		p.ingredients = name
	case "results":
		p.results = name
	case "recipe":
		r.Recipe, err = sum(name, columns[2])
	case "file":
		var s Sum
		s, err = sum(name, columns[2])
		r.Files = append(r.Files, s)
	case "input":
		r.Inputs = append(r.Inputs, Input{name, columns[2], more == 3})
	default:
		err = fmt.Errorf("a record has no line of %q", columns[0])
	}
	return err
}

func (p *parser) entry(columns []string) error {
	if len(columns) < 2 {
		return errors.New("a value has at least two columns")
	}
	e := Entry{Section: p.section, Block: p.block, Name: columns[0], Text: columns[1]}
	for _, c := range columns[2:] {
		if sum, ok := strings.CutPrefix(c, sumMark); ok {
			e.Sum = sum
			continue
		}
		v, err := strconv.ParseFloat(c, 64)
		if err != nil || math.IsNaN(v) || math.IsInf(v, 0) {
			return fmt.Errorf("%q is not a number", c)
		}
		e.Numbers = append(e.Numbers, v)
	}
	p.record.Results = append(p.record.Results, e)
	return nil
}

func revision(s string) (int, error) {
	n, err := strconv.Atoi(s)
	if err != nil || n < 1 {
		return 0, fmt.Errorf("%q is not a revision", s)
	}
	return n, nil
}

func sum(name, s string) (Sum, error) {
	if b, err := hex.DecodeString(s); err != nil || len(b) != 32 || !fs.ValidPath(name) {
		return Sum{}, fmt.Errorf("%q with %q is not a file and its SHA-256 sum", name, s)
	}
	return Sum{name, s}, nil
}
