package manual

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/doc"
	"go/doc/comment"
	"go/format"
	"go/parser"
	"go/printer"
	"go/token"
	"io/fs"
	"path"
	"slices"
	"strings"

	"lapwright/runtime/check"
	"lapwright/stdlib/document"
)

// A pkg is a package that recipes call.
type pkg struct {
	name     string
	what     string
	prose    string // Markdown
	entries  []*entry
	examples []*example
}

// An entry is a function, a type, a group of constants or variables, or a method
// of a type.
type entry struct {
	name    string   // "zone.Reduce", "zone.Mask.Radius"
	heading string   // within its type: "Radius"
	aliases []string // constants and variables: "unit.MM", "MM"
	what    string
	prose   string // declaration and doc comment, in Markdown
	comment string // the doc comment as it stands
	methods []*entry
	own     []*example
	use     string // how a recipe's code names it: "zone.Reduce", or ".Radius" for a method
}

// readPackages reads the packages a recipe may import from their sources. A listed
// package that is not there is left out, as the engine leaves it out.
func readPackages(sources fs.FS) []*pkg {
	var all []*pkg
	for _, listed := range check.Packages {
		name, ours := strings.CutPrefix(listed.Path, check.Own)
		if !ours {
			continue
		}
		files, _ := fs.Glob(sources, name+"/*.go")
		if len(files) == 0 {
			continue
		}
		r := reader{fset: token.NewFileSet()}
		var parsed []*ast.File
		for _, file := range files {
			text, err := fs.ReadFile(sources, file)
			if err != nil {
				panic(err) // it is embedded
			}
			f, err := parser.ParseFile(r.fset, file, text, parser.ParseComments)
			if err != nil {
				panic(err) // it has been compiled
			}
			parsed = append(parsed, f)
		}
		d, err := doc.NewFromFiles(r.fset, parsed, listed.Path)
		if err != nil {
			panic(err)
		}
		r.doc = d
		all = append(all, r.read(path.Base(name)))
	}
	return all
}

// A reader makes the entries of one package.
type reader struct {
	fset *token.FileSet
	doc  *doc.Package
}

func (r *reader) read(name string) *pkg {
	p := &pkg{name: name, prose: r.markdown(r.doc.Doc)}
	p.what = sentence(r.doc.Synopsis(r.doc.Doc))
	p.examples = r.examples(name, r.doc.Examples)
	add := func(e *entry) { p.entries = append(p.entries, e) }
	function := func(f *doc.Func) {
		e := r.entry(name+"."+f.Name, f.Doc, r.code(f.Decl))
		e.own, e.use = r.examples(e.name, f.Examples), e.name
		add(e)
	}
	for _, v := range slices.Concat(r.doc.Consts, r.doc.Vars) {
		e := r.entry(name+"."+v.Names[0], v.Doc, r.code(v.Decl))
		e.aliases, e.use = names(name, v), e.name
		add(e)
	}
	for _, f := range r.doc.Funcs {
		function(f)
	}
	for _, t := range r.doc.Types {
		for _, f := range t.Funcs {
			function(f)
		}
		e := r.entry(name+"."+t.Name, t.Doc, r.code(t.Decl))
		e.own, e.use = r.examples(e.name, t.Examples), e.name
		for _, v := range slices.Concat(t.Consts, t.Vars) {
			e.aliases = append(e.aliases, names(name, v)...)
			e.prose += "\n" + fenced("go", r.code(v.Decl)) + "\n" + r.markdown(v.Doc)
		}
		for _, m := range t.Methods {
			method := r.entry(e.name+"."+m.Name, m.Doc, r.code(m.Decl))
			method.heading = m.Name
			method.own, method.use = r.examples(method.name, m.Examples), "."+m.Name
			e.methods = append(e.methods, method)
		}
		add(e)
	}
	slices.SortStableFunc(p.entries, func(a, b *entry) int { return strings.Compare(a.name, b.name) })
	for _, e := range p.entries {
		if name == "unit" {
			e.use = strings.TrimPrefix(e.use, "unit.")
		}
		p.examples = append(p.examples, e.own...)
		for _, m := range e.methods {
			p.examples = append(p.examples, m.own...)
		}
	}
	return p
}

func (r *reader) entry(name, comment, code string) *entry {
	return &entry{
		name: name, comment: comment, what: sentence(r.doc.Synopsis(comment)),
		prose: fenced("go", code) + "\n" + r.markdown(comment),
	}
}

// names are the ways to ask for a group's constants or variables.
func names(pkg string, v *doc.Value) (all []string) {
	for _, n := range v.Names {
		all = append(all, pkg+"."+n, n)
	}
	return all
}

// code prints a declaration without bodies and without what is not exported.
func (r *reader) code(decl ast.Decl) string {
	if f, ok := decl.(*ast.FuncDecl); ok {
		f.Body, f.Doc = nil, nil
	}
	if g, ok := decl.(*ast.GenDecl); ok {
		g.Doc = nil
		for _, s := range g.Specs {
			t, ok := s.(*ast.TypeSpec)
			if !ok {
				continue
			}
			t.Doc = nil
			if fields, ok := t.Type.(*ast.StructType); ok && len(fields.Fields.List) == 0 {
				return "type " + t.Name.Name + " struct { … }"
			}
		}
	}
	var b bytes.Buffer
	if err := (&printer.Config{Mode: printer.UseSpaces | printer.TabIndent, Tabwidth: 4}).Fprint(&b, r.fset, decl); err != nil {
		panic(err)
	}
	return strings.ReplaceAll(b.String(), "\n\n\t// contains filtered or unexported fields", "\n\t// and fields that are not for recipes")
}

// markdown makes a doc comment Markdown. Names of primitives become links into
// the page.
func (r *reader) markdown(text string) string {
	p := r.doc.Printer()
	p.HeadingLevel = 4
	p.HeadingID = func(*comment.Heading) string { return "" }
	p.DocLinkURL = func(l *comment.DocLink) string {
		where := path.Base(l.ImportPath)
		if l.ImportPath == "" {
			where = r.doc.Name
		}
		name := l.Name
		if l.Recv != "" {
			name = l.Recv
		}
		if name == "" {
			return anchor("package " + where)
		}
		return anchor(where + "." + name)
	}
	return string(p.Markdown(r.doc.Parser().Parse(text)))
}

// anchor is where on the page of the whole manual a section of that title stands.
func anchor(title string) string {
	return "#" + strings.NewReplacer(".", "-", " ", "-").Replace(strings.ToLower(title))
}

func fenced(language, code string) string {
	return "```" + language + "\n" + strings.TrimRight(code, "\n") + "\n```\n"
}

// An example is a piece of code that the tests run, and what it prints.
type example struct {
	of     string // what it stands with
	about  string
	code   string
	output string
}

func (r *reader) examples(of string, list []*doc.Example) (all []*example) {
	for _, x := range list {
		var b bytes.Buffer
		if err := format.Node(&b, r.fset, &printer.CommentedNode{Node: x.Code, Comments: x.Comments}); err != nil {
			panic(err)
		}
		code := b.String()
		if inner, isBlock := strings.CutPrefix(code, "{"); isBlock {
			code = strings.ReplaceAll(strings.TrimSuffix(inner, "}"), "\n\t", "\n")
		}
		if i := strings.LastIndex(code, "// Output:"); i >= 0 {
			code = code[:i]
		}
		all = append(all, &example{of, strings.TrimSpace(x.Doc), strings.Trim(code, "\n"), x.Output})
	}
	return all
}

// exampleOf finds the example that shows an entry: its own, or the first that uses it.
func (m *Manual) exampleOf(e *entry) *example {
	if len(e.own) > 0 {
		return e.own[0]
	}
	here, _, _ := strings.Cut(e.name, ".")
	var elsewhere *example
	for _, p := range m.packages {
		for _, x := range p.examples {
			if !uses(x.code, e.use) {
				continue
			}
			if p.name == here {
				return x
			}
			if elsewhere == nil && e.heading == "" {
				elsewhere = x
			}
		}
	}
	return elsewhere
}

// uses tells whether code names something: "zone.Reduce", ".Radius", or "MM" of
// package unit, which recipes import with a dot.
func uses(code, name string) bool {
	for from := 0; ; {
		i := strings.Index(code[from:], name)
		if i < 0 {
			return false
		}
		i += from
		from = i + len(name)
		begins := name[0] == '.' || i == 0 || !letter(code[i-1]) && code[i-1] != '.'
		if ends := from == len(code) || !letter(code[from]); begins && ends {
			return true
		}
	}
}

func letter(c byte) bool {
	return c == '_' || c >= '0' && c <= '9' || c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
}

// example is the Markdown of the example of an entry. Briefly, one that stands
// elsewhere is only named.
func (m *Manual) example(e *entry, briefly bool) string {
	x := m.exampleOf(e)
	if x == nil {
		return ""
	}
	if briefly && x.of != e.name {
		title := x.of
		if parts := strings.Split(title, "."); len(parts) > 2 {
			title = parts[0] + "." + parts[1]
		} else if len(parts) == 1 {
			title = "package " + title
		}
		return fmt.Sprintf("\nThe example of [%s](%s) shows it.\n", x.of, anchor(title))
	}
	text := "\n**Example**"
	if x.of != e.name {
		text += " (of " + x.of + ")"
	}
	text += "\n"
	if x.about != "" {
		text += "\n" + x.about + "\n"
	}
	text += "\n" + fenced("go", x.code)
	if x.output != "" {
		text += "\nIt prints\n\n" + fenced("", x.output)
	}
	return text
}

// list is the table of what a package holds.
func (p *pkg) list() document.Table {
	var rows [][2]string
	for _, e := range p.entries {
		rows = append(rows, [2]string{e.name, e.what})
	}
	return list(rows...)
}

func (m *Manual) packageDocument(p *pkg) *document.Document {
	d := newDocument("Package "+p.name, p.prose, section("What it holds", "", p.list()))
	for _, x := range p.examples {
		if x.of == p.name {
			d.Sections = append(d.Sections, section("Example", m.example(&entry{name: p.name, own: []*example{x}}, false)))
		}
	}
	return d
}

func (m *Manual) entryDocument(e *entry) *document.Document {
	d := newDocument(e.name, e.prose+m.example(e, false))
	for _, method := range e.methods {
		d.Sections = append(d.Sections, section(method.heading, method.prose))
	}
	return d
}
