// Package sheet reads the CSV files a recipe's data come in, so that every
// fault in one is told in the same way: the file, the line and the column, what
// is there and what is allowed.
//
// A sheet has one head line with the names of its columns, then rows as long as
// the head. Lines that start with # are comments; empty lines do not count. The
// file is text in UTF-8 (a byte order mark is allowed) with commas between
// columns and a point before decimals: RFC 4180, and comments.
//
// Recipes do not import this package; zone.Read and others use it.
package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"go/token"
	"io"
	"io/fs"
	"path"
	"strings"
	"unicode/utf8"

	"lapwright/stdlib/document"
	"lapwright/stdlib/host"
	"lapwright/stdlib/unit"
)

// The most a sheet may hold: a file beyond these is not one that a person wrote
// at a tester.
const (
	MaxBytes = 1 << 20
	MaxRows  = 10_000
)

// A Sheet is a CSV file that has been read.
type Sheet struct {
	File string
	Head []Cell
	Rows [][]Cell // each as long as Head

	call  string
	lines []string // of the file, for excerpts
}

// A Cell is one entry of a sheet: a text without the spaces about it.
type Cell struct {
	Text     string
	Position token.Position
	sheet    *Sheet
}

// Read reads the file of that name in the recipe's folder, for the primitive
// that is named by call. It stops the recipe where there is no such file (and
// names the nearest there is), where the file is too large, is no text, has
// other separators, has no head or no rows, where two columns have one name, and
// where a row is longer or shorter than the head.
func Read(call, file string) *Sheet {
	return parse(call, file, Load(call, file))
}

// Load returns the bytes of a file in the recipe's folder. It stops the recipe where
// there is no such file (and names the nearest there is), and where it is larger
// than MaxBytes.
func Load(call, file string) []byte {
	if !fs.ValidPath(file) || file == "." {
		host.StopArg(call, "file", fmt.Sprintf("%q", file), "the name of a file in the recipe's own folder, like readings.csv")
	}
	folder := host.Current().Folder
	f, err := folder.Open(file)
	if err != nil {
		if errors.Is(err, fs.ErrNotExist) {
			missing(call, folder, file)
		}
		host.Stopf(call, "%s cannot be read: %v", file, cause(err))
	}
	defer f.Close()
	if info, err := f.Stat(); err == nil && info.IsDir() {
		host.Stopf(call, "%s is a folder, not a file", file)
	}
	data, err := io.ReadAll(io.LimitReader(f, MaxBytes+1))
	if err != nil {
		host.Stopf(call, "%s cannot be read: %v", file, cause(err))
	}
	if len(data) > MaxBytes {
		host.Stopf(call, "%s is larger than %d kB, the most a file may be", file, MaxBytes>>10)
	}
	return data
}

// cause is what is wrong, without the operation and the path.
func cause(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err
	}
	return err
}

// missing stops the recipe because there is no such file.
func missing(call string, folder fs.FS, file string) {
	var names []string
	entries, _ := fs.ReadDir(folder, path.Dir(file))
	for _, e := range entries {
		if !e.IsDir() {
			names = append(names, path.Join(path.Dir(file), e.Name()))
		}
	}
	stop := &host.Stop{Call: call, Message: fmt.Sprintf("there is no file %s in the recipe's folder", file)}
	if near := host.Nearest(file, names); near != "" {
		stop.Hint = fmt.Sprintf("There is %s.", near)
	}
	panic(stop)
}

// parse reads the text of a sheet.
func parse(call, file string, data []byte) *Sheet {
	s := &Sheet{File: file, call: call}
	data = bytes.TrimPrefix(data, []byte("\xef\xbb\xbf"))
	switch {
	case bytes.HasPrefix(data, []byte("\xff\xfe")) || bytes.HasPrefix(data, []byte("\xfe\xff")):
		host.Stopf(call, "%s is written in UTF-16; save it as CSV in UTF-8", file)
	case bytes.HasPrefix(data, []byte("PK\x03\x04")) || bytes.HasPrefix(data, []byte("\xd0\xcf\x11\xe0")):
		host.Stopf(call, "%s is a spreadsheet, not text; save it as CSV", file)
	case bytes.IndexByte(data, 0) >= 0:
		host.Stopf(call, "%s is not text; it must be a CSV file", file)
	}
	if bytes.IndexByte(data, '\n') < 0 { // lines may end in a bare carriage return
		data = bytes.ReplaceAll(data, []byte("\r"), []byte("\n"))
	}
	s.lines = strings.Split(string(data), "\n")
	for i, line := range s.lines {
		if at := invalid(line); at >= 0 {
			Cell{Position: token.Position{Filename: file, Line: i + 1, Column: at + 1}, sheet: s}.Stopf("this is no character of UTF-8; save the sheet as CSV in UTF-8")
		}
	}

	reader := csv.NewReader(bytes.NewReader(data))
	reader.Comment = '#'
	reader.FieldsPerRecord = -1
	reader.TrimLeadingSpace = true
	for {
		record, err := reader.Read()
		if err == io.EOF {
			break
		}
		if err != nil {
			s.malformed(err)
		}
		cells := make([]Cell, len(record))
		blank := true
		for i, text := range record {
			line, column := reader.FieldPos(i)
			cells[i] = Cell{strings.TrimSpace(text), token.Position{Filename: file, Line: line, Column: column}, s}
			blank = blank && cells[i].Text == ""
		}
		// What a spreadsheet leaves of an empty row, or makes of a comment.
		if blank || strings.HasPrefix(cells[0].Text, "#") {
			continue
		}
		if s.Head == nil {
			s.setHead(cells)
		} else {
			s.add(cells)
		}
	}
	if s.Head == nil {
		host.Stopf(call, "%s is empty; it must begin with the names of its columns", file)
	}
	if len(s.Rows) == 0 {
		host.Stopf(call, "%s has one line and no more; the first names the columns, and there must be rows below it", file)
	}
	return s
}

// malformed stops the recipe with what the CSV reader found.
func (s *Sheet) malformed(err error) {
	var p *csv.ParseError
	if !errors.As(err, &p) {
		host.Stopf(s.call, "%s cannot be read: %v", s.File, err)
	}
	what := p.Err.Error()
	if errors.Is(p.Err, csv.ErrBareQuote) || errors.Is(p.Err, csv.ErrQuote) {
		what = `a quotation mark that does not enclose a whole entry; leave quotation marks out of numbers`
	}
	line := p.Line
	if errors.Is(p.Err, csv.ErrQuote) && p.StartLine != p.Line { // never closed
		line = p.StartLine
		what = `an entry opens with a quotation mark that is never closed`
		p.Column = max(1, strings.IndexByte(s.line(line), '"')+1)
	}
	Cell{Position: token.Position{Filename: s.File, Line: line, Column: p.Column}, sheet: s}.Stopf("%s", what)
}

func (s *Sheet) setHead(cells []Cell) {
	if len(cells) == 1 {
		for _, sep := range []struct{ mark, name string }{{";", "semicolons"}, {"\t", "tabs"}} {
			if strings.Contains(cells[0].Text, sep.mark) {
				cells[0].Stopf("the columns are separated by %s; save the sheet with commas between columns and a point before decimals", sep.name)
			}
		}
	}
	for len(cells) > 0 && cells[len(cells)-1].Text == "" { // what a spreadsheet leaves at the right
		cells = cells[:len(cells)-1]
	}
	seen := make(map[string]Cell)
	for i, c := range cells {
		if c.Text == "" {
			c.Stopf("column %d has no name", i+1)
		}
		if first, found := seen[Key(c.Text)]; found {
			c.Stopf("the column %q is there twice, first at column %d of line %d", c.Text, first.Position.Column, first.Position.Line)
		}
		seen[Key(c.Text)] = c
	}
	s.Head = cells
}

func (s *Sheet) add(cells []Cell) {
	for len(cells) > len(s.Head) && cells[len(cells)-1].Text == "" {
		cells = cells[:len(cells)-1]
	}
	switch n := len(s.Head); {
	case len(cells) > n && n == 1:
		s.Head[0].Stopf("the first line must name the columns; it holds %q alone, and line %d has %d entries", s.Head[0].Text, cells[0].Position.Line, len(cells))
	case len(cells) > n:
		for i := range len(cells) - 1 {
			if a, b := cells[i].Text, cells[i+1].Text; digits(strings.TrimLeft(a, "+-−")) && digits(b) {
				cells[i].Stopf("the row has %d columns where the head has %d; if %s,%s is one number, write a point before decimals, not a comma", len(cells), n, a, b)
			}
		}
		cells[n].Stopf("the row has %d columns where the head has %d", len(cells), n)
	case len(cells) < n && len(cells) == 1 && strings.Contains(cells[0].Text, ";"):
		cells[0].Stopf("the columns of this row are separated by semicolons; write commas between columns and a point before decimals")
	case len(cells) < n:
		cells[len(cells)-1].Stopf("the row ends after column %d where the head has %d; %q is the first that is missing", len(cells), n, s.Head[len(cells)].Text)
	}
	if len(s.Rows) == MaxRows {
		cells[0].Stopf("the sheet has more than %d rows, the most it may have", MaxRows)
	}
	s.Rows = append(s.Rows, cells)
}

// digits tells whether a text is one or more digits and nothing else.
func digits(text string) bool { return text != "" && strings.Trim(text, "0123456789") == "" }

// invalid returns the place of the first byte that is not UTF-8, or -1.
func invalid(text string) int {
	for i, c := range text {
		if c == utf8.RuneError && !strings.HasPrefix(text[i:], "\uFFFD") {
			return i
		}
	}
	return -1
}

// line returns a line of the file, counted from 1.
func (s *Sheet) line(n int) string {
	if n < 1 || n > len(s.lines) {
		return ""
	}
	return strings.ToValidUTF8(strings.TrimSuffix(s.lines[n-1], "\r"), "\uFFFD")
}

// Key is the form in which names of columns are compared: without capitals,
// spaces, underscores or hyphens.
func Key(name string) string {
	return strings.ToLower(strings.NewReplacer(" ", "", "_", "", "-", "", "\u00a0", "").Replace(name))
}

// Stopf stops the recipe because of this cell, with its place before the words
// and the line of the file in a note.
func (c Cell) Stopf(format string, args ...any) {
	message := clip(strings.ToValidUTF8(fmt.Sprintf(format, args...), "\uFFFD"))
	panic(&host.Stop{
		Call:    c.sheet.call,
		Message: fmt.Sprintf("%v: %s", c.Position, message),
		Notes: []document.Note{{
			Message:  message,
			Position: c.Position,
			Excerpt:  clip(c.sheet.line(c.Position.Line)),
			Width:    max(1, len(c.Text)),
		}},
	})
}

// clip keeps a text readable where one line, or one entry, holds the whole file.
func clip(s string) string {
	const most = 400
	if len(s) <= most {
		return s
	}
	cut := most
	for !utf8.RuneStart(s[cut]) {
		cut--
	}
	return s[:cut] + "…"
}

// Number reads the cell as a number, and stops the recipe where it is none.
func (c Cell) Number() float64 {
	if c.Text == "" {
		c.Stopf("there is no number here")
	}
	v, err := unit.ParseNumber(c.Text)
	if err != nil {
		c.Stopf("%v", err)
	}
	return v
}
