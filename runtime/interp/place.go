package interp

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"slices"
	"strings"
	"unsafe"

	"golang.org/x/tools/go/ast/astutil"
	"golang.org/x/tools/go/ssa"

	"lapwright/stdlib/document"
)

// written returns the nodes of the recipe as it was written that hold a place,
// innermost first, and what to add to their positions to make them the program's:
// lowering has changed the program's own tree.
func (m *machine) written(pos token.Pos) (path []ast.Node, shift token.Pos) {
	r := m.prog.Checked.Recipe
	file, err := parser.ParseFile(token.NewFileSet(), r.Name, r.Source, parser.SkipObjectResolution)
	if err != nil {
		return nil, 0
	}
	shift = r.File.FileStart - file.FileStart
	path, _ = astutil.PathEnclosingInterval(file, pos-shift, pos-shift)
	return path, shift
}

// span returns where the expression or statement begins that an instruction at
// pos belongs to, and how much of its first line it takes.
func (m *machine) span(pos token.Pos) (token.Pos, int) {
	r := m.prog.Checked.Recipe
	path, shift := m.written(pos)
	for i, n := range path {
		switch n.(type) {
		case *ast.Ident, *ast.BasicLit:
			if sel, ok := path[i+1].(*ast.SelectorExpr); ok {
				n = sel
			}
		case *ast.IndexExpr, *ast.CallExpr, *ast.SliceExpr, *ast.StarExpr, *ast.BinaryExpr, *ast.UnaryExpr,
			*ast.SelectorExpr, *ast.TypeAssertExpr, *ast.CompositeLit, ast.Stmt:
		default:
			continue
		}
		from, to := r.Fset.PositionFor(n.Pos()+shift, false), r.Fset.PositionFor(n.End()+shift, false)
		if from.Line != to.Line {
			line := r.Line(from.Line)
			return n.Pos() + shift, max(1, len(line)-from.Column+1)
		}
		return n.Pos() + shift, to.Offset - from.Offset
	}
	return pos, 1
}

// values lists the simple variables of the statement that failed, with what they
// held.
func (m *machine) values(u *unwind) (values []document.Value) {
	fr := u.frame
	for fr != nil && (fr.fn.ssa == nil || fr.fn.ssa.Pkg != m.prog.Main) {
		fr = fr.caller
	}
	if fr == nil || int(fr.at) >= len(fr.fn.sites) {
		return nil
	}
	failed := fr.fn.sites[fr.at].instr
	pos := fr.fn.sites[fr.at].pos
	if !pos.IsValid() {
		return nil
	}
	path, shift := m.written(pos)
	var statement ast.Node
	for _, n := range path {
		if s, ok := n.(ast.Stmt); ok {
			statement = s
			break
		}
	}
	if statement == nil {
		return nil
	}
	switch s := statement.(type) {
	case *ast.IfStmt:
		statement = s.Cond
	case *ast.ForStmt, *ast.RangeStmt, *ast.SwitchStmt, *ast.TypeSwitchStmt, *ast.BlockStmt:
		return nil
	}
	seen := map[types.Object]bool{}
	for _, b := range fr.fn.ssa.Blocks {
		for _, instr := range b.Instrs {
			ref, ok := instr.(*ssa.DebugRef)
			if !ok || ref.Object() == nil || seen[ref.Object()] || ref.Pos() < statement.Pos()+shift || ref.Pos() >= statement.End()+shift {
				continue
			}
			if _, isVar := ref.Object().(*types.Var); !isVar {
				continue
			}
			if id, ok := ref.Expr.(*ast.Ident); !ok || strings.HasPrefix(id.Name, "·") {
				continue
			}
			if !known(ref.X, failed) {
				continue
			}
			if text, ok := m.show(fr, ref); ok {
				seen[ref.Object()] = true
				values = append(values, document.Value{Name: ref.Object().Name(), Text: text})
			}
		}
	}
	slices.SortFunc(values, func(a, b document.Value) int {
		return slices.Compare([]byte(a.Name), []byte(b.Name))
	})
	return values
}

// known tells whether a value has been worked out once failed runs.
func known(v ssa.Value, failed ssa.Instruction) bool {
	instr, ok := v.(ssa.Instruction)
	if !ok {
		return true
	}
	if from, to := instr.Block(), failed.Block(); from != to {
		return from.Dominates(to)
	}
	list := failed.Block().Instrs
	return slices.Index(list, instr) < slices.Index(list, failed)
}

// show writes the value of a variable if it is a simple one.
func (m *machine) show(fr *frame, ref *ssa.DebugRef) (string, bool) {
	v := ref.X
	t := ref.Object().Type()
	lay := m.layouts.of(t)
	var p unsafe.Pointer
	if c, ok := v.(*ssa.Const); ok && !ref.IsAddr {
		p = lay.new()
		setConst(lay, c.Value, p)
	} else {
		s, ok := fr.fn.debug[v]
		switch {
		case ok:
			p = register(fr, s)
		case ref.IsAddr:
			g, ok := v.(*ssa.Global)
			if !ok {
				return "", false
			}
			q := m.global(g)
			p = unsafe.Pointer(&q)
		default:
			return "", false
		}
		if ref.IsAddr {
			if p = *(*unsafe.Pointer)(p); p == nil {
				return "", false
			}
		}
	}
	switch lay.under.(type) {
	case *types.Basic:
		x := m.bare(lay.box(p))
		if named, ok := types.Unalias(t).(*types.Named); ok && m.layouts.isHost(named) {
			x = lay.box(p) // with its unit
		}
		text := fmt.Sprint(x)
		if s, ok := x.(string); ok {
			if len(s) > 60 {
				s = strings.ToValidUTF8(s[:57], "") + "…"
			}
			text = fmt.Sprintf("%q", s)
		}
		return text, true
	case *types.Slice:
		return elements((*header)(p).len), true
	case *types.Map:
		return elements(len(*(*map[int]int)(p))), true
	case *types.Pointer, *types.Signature:
		if *(*unsafe.Pointer)(p) == nil {
			return "nil", true
		}
	case *types.Interface:
		if (*face)(p).typ == nil {
			return "nil", true
		}
	}
	return "", false
}

func elements(n int) string {
	if n == 1 {
		return "1 element"
	}
	return fmt.Sprintf("%d elements", n)
}

// enterPart compiles the telling of OnPart where an instruction of main is in
// another part of the recipe than the ones that ran before it.
func (c *compiler) enterPart(b *block, instr ssa.Instruction, part int) int {
	if c.fn.ssa != c.m.prog.Main.Func("main") {
		return part
	}
	next := -1
	switch instr.(type) {
	case *ssa.RunDefers, *ssa.Return:
		next = c.lastPart(instr.Block())
	default:
		next = c.m.partAt(instr.Pos())
	}
	if next < 0 || next == part {
		return part
	}
	if part < 0 && c.comesFrom(instr.Block(), next) {
		return next
	}
	b.ops = append(b.ops, c.m.partOp(next))
	return next
}

// lastPart returns the part that main is in where it returns at the end of a
// block, or -1 if it returns after a panic that was recovered from.
func (c *compiler) lastPart(b *ssa.BasicBlock) int {
	switch ret, ok := b.Instrs[len(b.Instrs)-1].(*ssa.Return); {
	case !ok, b == c.fn.ssa.Recover:
		return -1
	case ret.Pos().IsValid():
		return c.m.partAt(ret.Pos())
	}
	// It came to its end. What stands there may have left no instruction, as the
	// declaration of a constant.
	return len(c.m.prog.Checked.Recipe.Parts) - 1
}

// comesFrom tells whether all blocks that lead to b end in the given part.
func (c *compiler) comesFrom(b *ssa.BasicBlock, part int) bool {
	for _, p := range b.Preds {
		last := -1
		for _, instr := range p.Instrs {
			if n := c.m.partAt(instr.Pos()); n >= 0 {
				last = n
			}
		}
		if last != part {
			return false
		}
	}
	return len(b.Preds) > 0
}

// partAt returns the part of main that holds pos, or -1.
func (m *machine) partAt(pos token.Pos) int {
	if !pos.IsValid() {
		return -1
	}
	for i, p := range m.prog.Checked.Recipe.Parts {
		if p.Main && p.From <= pos && pos < p.To {
			return i
		}
	}
	return -1
}

func (m *machine) partOp(part int) op {
	return func(*frame) {
		if m.part < part {
			m.enterPartsTo(part)
		}
	}
}

// enterPartsTo tells OnPart of all parts of main up to one: a part without code
// of its own is entered with the next.
func (m *machine) enterPartsTo(part int) {
	for m.part < part {
		m.part++
		if p := m.prog.Checked.Recipe.Parts[m.part]; p.Main && m.options.OnPart != nil {
			m.options.OnPart(m.part)
		}
	}
}
