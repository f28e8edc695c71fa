// Package recipe reads a recipe: a Go file whose comments are prose. It finds
// the title, the sections with their prose and code, and the inputs a recipe
// declares. It executes nothing and knows no types.
//
// The form of a recipe:
//
//   - The comment before the package clause that opens with "# " holds the title
//     and, below it, the summary.
//   - In main, a comment that stands on lines of its own at the outer level and
//     opens with "## " begins a section. The comment is the section's prose, the
//     statements up to the next such comment are its code.
//   - Statements of main before the first section form a part without a title.
//   - Declarations at file level are parts too, shown where they stand. The
//     package clause and the imports are not shown.
//   - Every other comment is code.
package recipe

import (
	"bytes"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/scanner"
	"go/token"
	"slices"
	"sort"
	"strings"
	"unicode/utf8"

	"lapwright/stdlib/document"
)

// MaxSize is the largest recipe that is read, in bytes.
const MaxSize = 1 << 20

// MaxDepth is how deep the constructs of a recipe may be nested in one another,
// counted in nodes of the syntax tree.
const MaxDepth = 1000

// MaxParts is the most parts a recipe may have.
const MaxParts = 1000

// A Recipe is a file that has been read.
type Recipe struct {
	Name    string         // of the file, as its positions name it
	Source  []byte         // as it was read
	Fset    *token.FileSet // of File's positions
	File    *ast.File
	Title   string // plain text; Name where the recipe gives none
	Summary string // Markdown
	Parts   []Part // in the order of the file

	starts []int // offset of each line of Source
}

// A Part is one piece of a recipe: a run of statements of main under its
// heading, or a run of declarations at file level.
type Part struct {
	Title    string    // plain text; "" for declarations and what stands before the first section
	Prose    string    // Markdown, without the heading
	Code     string    // Go, without the prose and without main's indent
	Line     int       // where the part begins
	Main     bool      // the part is statements of main
	From, To token.Pos // the part's statements or declarations lie in [From,To)

	Statements int // of main that belong to the part
}

// Read reads the recipe src, which positions will call name. With faults the
// recipe has its name, its source and, where they could be read, its title and
// summary, but no parts.
func Read(name string, src []byte) (*Recipe, []document.Fault) {
	r := &Recipe{Name: name, Source: src, Fset: token.NewFileSet(), Title: name}
	if len(src) > MaxSize {
		return r, []document.Fault{{
			Kind:     document.Wrong,
			Message:  fmt.Sprintf("the file has more than %d bytes, the most a recipe may have", MaxSize),
			Position: token.Position{Filename: name},
			Hint:     "keep long data in a CSV file beside the recipe",
		}}
	}
	r.starts = []int{0}
	for i, char := range src {
		if char == '\n' {
			r.starts = append(r.starts, i+1)
		}
	}
	if fault := r.notText(); fault != nil {
		return r, []document.Fault{*fault}
	}

	const mode = parser.ParseComments | parser.AllErrors | parser.SkipObjectResolution
	file, err := parser.ParseFile(r.Fset, name, src, mode)
	r.File = file
	if file != nil {
		r.readTitle()
	}
	if err != nil {
		return r, r.syntaxFaults(err)
	}
	if fault := r.misshapen(); fault != nil {
		return r, []document.Fault{*fault}
	}
	r.readParts()
	if len(r.Parts) > MaxParts {
		at := r.Parts[MaxParts]
		r.Parts = nil
		return r, []document.Fault{*r.fault(r.starts[at.Line-1], 1, fmt.Sprintf("the recipe has more than %d sections", MaxParts))}
	}
	return r, nil
}

// notText says why the source cannot be the text of a recipe, or nil.
func (r *Recipe) notText() *document.Fault {
	src := r.Source
	if len(bytes.TrimSpace(src)) == 0 {
		return r.fault(0, 0, "the file is empty")
	}
	if at := bytes.IndexByte(src, 0); at >= 0 {
		return r.fault(at, 1, "a zero byte: this is not a text file, and a recipe is a Go file")
	}
	for at := 0; at < len(src); {
		char, size := utf8.DecodeRune(src[at:])
		if char == utf8.RuneError && size == 1 {
			return r.fault(at, 1, fmt.Sprintf("the byte 0x%02x is not UTF-8 text", src[at]))
		}
		at += size
	}
	return nil
}

// misshapen says why a file that parses is no recipe, or nil.
func (r *Recipe) misshapen() *document.Fault {
	if deep := deepest(r.File, MaxDepth); deep != nil {
		at := r.offset(deep.Pos())
		return r.fault(at, 1, fmt.Sprintf("nested more than %d deep here", MaxDepth))
	}
	if name := r.File.Name; name.Name != "main" {
		f := r.fault(r.offset(name.Pos()), len(name.Name), fmt.Sprintf("this is package %s; a recipe is package main", name.Name))
		f.Hint = "write: package main"
		return f
	}
	if !declares(r.File, "main") {
		f := r.fault(r.offset(r.File.Package), len("package"), "function main is undeclared in the main package")
		f.Hint = "a recipe's statements stand in: func main() { … }"
		return f
	}
	return nil
}

// declares tells whether a declaration at file level has the name. What sort of
// declaration it is, the type checker judges.
func declares(file *ast.File, name string) bool {
	for _, decl := range file.Decls {
		switch d := decl.(type) {
		case *ast.FuncDecl:
			if d.Recv == nil && d.Name.Name == name {
				return true
			}
		case *ast.GenDecl:
			for _, spec := range d.Specs {
				switch s := spec.(type) {
				case *ast.TypeSpec:
					if s.Name.Name == name {
						return true
					}
				case *ast.ValueSpec:
					for _, n := range s.Names {
						if n.Name == name {
							return true
						}
					}
				}
			}
		}
	}
	return false
}

// deepest returns the first node nested deeper than limit, or nil.
func deepest(root ast.Node, limit int) (deep ast.Node) {
	depth := 0
	ast.Inspect(root, func(n ast.Node) bool {
		if n == nil {
			depth--
			return true
		}
		if deep != nil {
			return false
		}
		if depth++; depth > limit {
			deep = n
			return false
		}
		return true
	})
	return deep
}

// syntaxFaults turns what the parser found into faults, one a line.
func (r *Recipe) syntaxFaults(err error) []document.Fault {
	var list scanner.ErrorList
	if !errors.As(err, &list) {
		return []document.Fault{*r.fault(0, 0, err.Error())}
	}
	list = slices.DeleteFunc(list, func(e *scanner.Error) bool {
		return strings.HasSuffix(e.Msg, "found 'ILLEGAL'") // what it is has been said
	})
	list.RemoveMultiples()
	if n := len(list); n > 1 && strings.HasSuffix(list[n-1].Msg, "found 'EOF'") {
		list = list[:n-1] // the parser lost its way before
	}
	faults := make([]document.Fault, len(list))
	for i, e := range list {
		faults[i] = *r.fault(e.Pos.Offset, r.tokenWidth(e.Pos.Offset), e.Msg)
		faults[i].Hint = syntaxHint(e.Msg, strings.TrimSpace(r.Line(e.Pos.Line)))
	}
	return faults
}

// syntaxHint says what to write where the parser stumbled on what is written in other
// languages, by its words and the line; "" where its words say enough.
func syntaxHint(message, line string) string {
	word, rest, _ := strings.Cut(line, " ")
	switch {
	case strings.Contains(message, "found assignment"):
		return "a comparison is written with =="
	case message == "expected statement, found 'else'":
		return "else stands on the line of the closing brace: } else {"
	case message == "illegal rune literal", message == "more than one character in rune literal":
		return "text stands between double quotes"
	case strings.HasPrefix(message, "missing ',' before newline in composite literal"):
		return "each line of a literal that goes on below ends with a comma"
	case strings.HasPrefix(message, "missing ',' before newline in argument list"):
		return "a bracket is not closed, or a comma is missing at the end of the line"
	case strings.HasPrefix(message, "expected 'package'"):
		return "a recipe begins with: package main"
	case strings.HasPrefix(message, "expected declaration"):
		return "statements stand in: func main() { … }"
	case word == "while":
		return "a loop is written with for, as in: for x < 3 { … }"
	case word == "for" && strings.Contains(rest, " in "):
		return "to count, write: for i := range 10 { … }; for the elements of a slice: for _, x := range list { … }"
	case word == "func" && strings.HasPrefix(message, "expected '('"):
		return "a function within a function is a variable: f := func() { … }"
	case message == "illegal character U+003F '?'":
		return "a choice is written with if"
	case message == "illegal character U+0023 '#'":
		return "a comment begins with //"
	case strings.HasPrefix(message, "missing ',' in argument list") && (strings.Contains(line, "++") || strings.Contains(line, "--")):
		return "x++ is a statement of its own"
	}
	return ""
}

// tokenWidth returns the length of what the token that begins at offset has on
// its first line.
func (r *Recipe) tokenWidth(offset int) int {
	rest, _, _ := bytes.Cut(r.Source[min(offset, len(r.Source)):], []byte("\n"))
	var s scanner.Scanner
	s.Init(token.NewFileSet().AddFile("", -1, len(rest)), rest, func(token.Position, string) {}, 0)
	_, tok, lit := s.Scan()
	switch {
	case tok == token.EOF || tok == token.SEMICOLON && lit != ";":
		return 1
	case lit != "":
		return len(lit)
	}
	return len(tok.String())
}

// fault makes a fault of the recipe's form at a byte offset into its source.
func (r *Recipe) fault(offset, width int, message string) *document.Fault {
	line := sort.Search(len(r.starts), func(i int) bool { return r.starts[i] > offset })
	return &document.Fault{
		Kind:     document.Wrong,
		Message:  message,
		Position: token.Position{Filename: r.Name, Offset: offset, Line: line, Column: 1 + offset - r.starts[line-1]},
		Excerpt:  r.Line(line),
		Width:    max(width, 1),
	}
}

func (r *Recipe) offset(pos token.Pos) int { return r.Fset.PositionFor(pos, false).Offset }

// Line returns the text of a line of the source, counted from 1. It returns ""
// for a line that is not there, is not text, or is too long for anyone to read.
func (r *Recipe) Line(n int) string {
	const longest = 2000
	if n < 1 || n > len(r.starts) {
		return ""
	}
	line, _, _ := bytes.Cut(r.Source[r.starts[n-1]:], []byte("\n"))
	line = bytes.TrimSuffix(line, []byte("\r"))
	if len(line) > longest || !utf8.Valid(line) {
		return ""
	}
	return string(line)
}

// Quote fills in the excerpts of a fault and its notes from the source, where
// they lie in it and have none yet.
func (r *Recipe) Quote(f *document.Fault) {
	quote := func(at token.Position, excerpt *string, width *int) {
		if at.Filename == r.Name && *excerpt == "" {
			*excerpt = r.Line(at.Line)
			*width = max(*width, 1)
		}
	}
	quote(f.Position, &f.Excerpt, &f.Width)
	for i := range f.Notes {
		quote(f.Notes[i].Position, &f.Notes[i].Excerpt, &f.Notes[i].Width)
	}
}
