package calc_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"go/ast"
	"go/constant"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

const quantities = "turncue/calc"

// quantityTypes are the whole-number types that a bare number must not become.
var quantityTypes = map[string]bool{"Length": true, "Angle": true, "Speed": true, "SurfaceSpeed": true}

// quantity is the name of a quantity type of package calc, or "".
func quantity(t types.Type) string {
	n, ok := types.Unalias(t).(*types.Named)
	if !ok || n.Obj().Pkg() == nil || n.Obj().Pkg().Path() != quantities || !quantityTypes[n.Obj().Name()] {
		return ""
	}
	return n.Obj().Name()
}

// unitFaults are the places in type-checked files where a number becomes a
// quantity without a unit: a literal other than zero, a conversion of a number,
// and the product of two quantities. They compile, and vet is silent.
//
// A number times or over a quantity is how quantities are written
// (3*calc.Millimetre, l/2, calc.Length(n)*calc.Micrometre), so a number in such a
// product is no fault as long as the other factor is a quantity with a unit. Nor
// is the conversion of another defined type, which has a meaning of its own.
func unitFaults(fset *token.FileSet, files []*ast.File, info *types.Info) []string {
	var faults []string
	report := func(n ast.Node, format string, args ...any) {
		faults = append(faults, fmt.Sprintf("%s: %s", fset.Position(n.Pos()), fmt.Sprintf(format, args...)))
	}
	// count says that an expression stands for a plain number: a literal, a
	// literal's arithmetic, or a conversion of a number to a quantity.
	var count func(e ast.Expr) bool
	count = func(e ast.Expr) bool {
		switch e := e.(type) {
		case *ast.ParenExpr:
			return count(e.X)
		case *ast.BasicLit:
			return true
		case *ast.UnaryExpr:
			return count(e.X)
		case *ast.BinaryExpr:
			if e.Op == token.QUO && quantity(info.Types[e.X].Type) != "" && !count(e.X) && !count(e.Y) {
				return true // how many times one goes into the other
			}
			return count(e.X) && count(e.Y)
		case *ast.CallExpr:
			tv, ok := info.Types[e.Fun]
			return ok && tv.IsType() && quantity(tv.Type) != "" && len(e.Args) == 1 &&
				(quantity(info.Types[e.Args[0]].Type) == "" || count(e.Args[0]))
		case *ast.Ident:
			c, ok := info.Uses[e].(*types.Const)
			if !ok {
				return false
			}
			b, ok := types.Unalias(c.Type()).(*types.Basic)
			return ok && b.Info()&types.IsUntyped != 0
		}
		return false
	}
	for _, f := range files {
		var walk func(n ast.Node, scaled bool)
		// children visits what is below a node; scaled says that the expression
		// is a factor beside a quantity with a unit.
		children := func(n ast.Node) {
			ast.Inspect(n, func(c ast.Node) bool {
				if c == nil || c == n {
					return c == n
				}
				walk(c, false)
				return false
			})
		}
		walk = func(n ast.Node, scaled bool) {
			if a, ok := n.(*ast.AssignStmt); ok && slices.Contains([]token.Token{token.MUL_ASSIGN, token.QUO_ASSIGN, token.SHL_ASSIGN, token.SHR_ASSIGN}, a.Tok) {
				if x, y := quantity(info.Types[a.Lhs[0]].Type), quantity(info.Types[a.Rhs[0]].Type); a.Tok == token.MUL_ASSIGN && x != "" && y != "" && !count(a.Rhs[0]) {
					report(a, "%s times %s: a quantity is multiplied by a number only", x, y)
				}
				walk(a.Rhs[0], true)
				return
			}
			e, ok := n.(ast.Expr)
			if !ok {
				children(n)
				return
			}
			tv := info.Types[e]
			name := ""
			if tv.Type != nil && tv.IsValue() {
				name = quantity(tv.Type)
			}
			if name != "" && !scaled && tv.Value != nil && !zero(tv) && count(e) {
				report(e, "%s is a %s without a unit", tv.Value, name)
				return
			}
			switch e := e.(type) {
			case *ast.ParenExpr:
				walk(e.X, scaled)
				return
			case *ast.BinaryExpr:
				switch e.Op {
				case token.MUL, token.QUO:
					if name == "" {
						break
					}
					if e.Op == token.QUO && count(e) {
						break
					}
					x, y := count(e.X), count(e.Y)
					if e.Op == token.MUL && !x && !y {
						report(e, "%s times %s: a quantity is multiplied by a number only", quantity(info.Types[e.X].Type), quantity(info.Types[e.Y].Type))
					}
					if e.Op == token.QUO && x && !y && !zero(info.Types[e.X]) {
						report(e, "a number over a %s", name)
					}
					walk(e.X, !y || scaled)
					walk(e.Y, !x || scaled)
					return
				case token.SHL, token.SHR:
					walk(e.X, scaled)
					return // the right side is a count
				default: // beside a count, a number is a count
					walk(e.X, scaled || quotient(e.Y, info))
					walk(e.Y, scaled || quotient(e.X, info))
					return
				}
			case *ast.CallExpr:
				fun, ok := info.Types[e.Fun]
				if ok && fun.IsType() && quantity(fun.Type) != "" && len(e.Args) == 1 {
					arg := info.Types[e.Args[0]]
					if _, named := types.Unalias(arg.Type).(*types.Named); !named && !scaled && quantity(arg.Type) == "" && !zero(arg) {
						report(e, "%s(...) of a number: multiply by a unit, such as calc.Millimetre", quantity(fun.Type))
					}
					if quantity(arg.Type) != "" && quantity(arg.Type) != quantity(fun.Type) {
						report(e, "%s made of a %s", quantity(fun.Type), quantity(arg.Type))
					}
					walk(e.Args[0], true)
					return
				}
			}
			children(n)
		}
		walk(f, false)
	}
	return faults
}

// quotient says that an expression is one quantity over another of its kind.
func quotient(e ast.Expr, info *types.Info) bool {
	if p, ok := e.(*ast.ParenExpr); ok {
		return quotient(p.X, info)
	}
	b, ok := e.(*ast.BinaryExpr)
	if !ok || b.Op != token.QUO {
		return false
	}
	x, y := info.Types[b.X], info.Types[b.Y]
	return quantity(x.Type) != "" && quantity(y.Type) != "" && y.Value == nil
}

func zero(tv types.TypeAndValue) bool {
	return tv.Value != nil && (tv.Value.Kind() == constant.Int || tv.Value.Kind() == constant.Float) && constant.Sign(tv.Value) == 0
}

// listed is what go list says of one package.
type listed struct {
	ImportPath, Dir, Export string
	GoFiles, Imports        []string
	DepOnly                 bool
}

// list asks go list for every package of the module and what it depends on, with
// compiled export data for the type checker. A package that does not compile has
// none, and is reported where it is checked.
func list(t *testing.T) []listed {
	t.Helper()
	cmd := exec.Command("go", "list", "-json=ImportPath,Dir,Export,GoFiles,Imports,DepOnly", "-export", "-deps", "-e", "turncue/...")
	cmd.Dir = ".."
	var stderr strings.Builder
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v\n%s", err, stderr.String())
	}
	var all []listed
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p listed
		if err := d.Decode(&p); err == io.EOF {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		all = append(all, p)
	}
	if len(all) < 3 {
		t.Fatalf("only %d packages found", len(all))
	}
	return all
}

// check type-checks files against the export data of what they import.
func check(fset *token.FileSet, path string, files []*ast.File, all []listed) (*types.Info, error) {
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{}}
	lookup := func(path string) (io.ReadCloser, error) {
		for _, p := range all {
			if p.ImportPath == path || strings.HasPrefix(p.ImportPath, "vendor/") && p.ImportPath == "vendor/"+path {
				return os.Open(p.Export)
			}
		}
		return nil, fmt.Errorf("no export data for %s", path)
	}
	conf := types.Config{Importer: importer.ForCompiler(fset, "gc", lookup)}
	_, err := conf.Check(path, fset, files, info)
	return info, err
}

// Outside package calc no number becomes a quantity without a unit.
func TestNoNumberWithoutUnit(t *testing.T) {
	all := list(t)
	checked := 0
	for _, p := range all {
		if p.DepOnly || p.ImportPath == quantities || len(p.GoFiles) == 0 {
			continue
		}
		checked++
		fset := token.NewFileSet()
		var files []*ast.File
		for _, name := range p.GoFiles {
			f, err := parser.ParseFile(fset, filepath.Join(p.Dir, name), nil, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			files = append(files, f)
		}
		info, err := check(fset, p.ImportPath, files, all)
		if err != nil {
			t.Errorf("%s: %v", p.ImportPath, err)
			continue
		}
		for _, f := range unitFaults(fset, files, info) {
			t.Error(f)
		}
	}
	t.Logf("%d packages checked", checked)
}

// The check finds each offence and is silent on what is right.
func TestUnitCheckFindsOffences(t *testing.T) {
	all := list(t)
	const head = "package p\nimport \"turncue/calc\"\nvar a, b calc.Length\nvar n int\nvar angle calc.Angle\nvar speed calc.Speed\nconst five = 5\nfunc cut(calc.Length, ...calc.Speed) {}\ntype slide struct{ x calc.Length }\nvar _ = n\n"
	for _, c := range []struct{ code, want string }{
		{"func _() { cut(5) }", "5 is a Length without a unit"},
		{"func _() { cut(-5) }", "5 is a Length without a unit"},
		{"func _() { cut(five) }", "5 is a Length without a unit"},
		{"func _() { a = 1000 }", "1000 is a Length without a unit"},
		{"func _() { a += 10 }", "10 is a Length without a unit"},
		{"func _() { _ = a + 10 }", "10 is a Length without a unit"},
		{"func _() { _ = a > 10 }", "10 is a Length without a unit"},
		{"func _() { _ = a == 2*3 }", "6 is a Length without a unit"},
		{"func _() { a *= b }", "Length times Length"},
		{"var c calc.Length = 7", "7 is a Length without a unit"},
		{"const c calc.Length = 7", "7 is a Length without a unit"},
		{"var c = slide{x: 7}", "7 is a Length without a unit"},
		{"var c = slide{7}", "7 is a Length without a unit"},
		{"var c = []calc.Length{0, 7}", "7 is a Length without a unit"},
		{"var c = map[string]calc.Length{\"x\": 7}", "7 is a Length without a unit"},
		{"func f() calc.Length { return 7 }", "7 is a Length without a unit"},
		{"func _() { cut(calc.Length(n)) }", "Length(...) of a number"},
		{"func _() { cut(calc.Length(7)) }", "7 is a Length without a unit"},
		{"func _() { cut(calc.Length(float64(n) * 2)) }", "Length(...) of a number"},
		{"func _() { cut(a + calc.Length(n)) }", "Length(...) of a number"},
		{"func _() { cut(a * b) }", "Length times Length"},
		{"func _() { cut(a * calc.Millimetre) }", "Length times Length"},
		{"func _() { cut(2 / a) }", "a number over a Length"},
		{"func _() { angle = 30 }", "30 is a Angle without a unit"},
		{"func _() { speed = 250 }", "250 is a Speed without a unit"},
		{"func _() { cut(a, 250) }", "250 is a Speed without a unit"},
		{"var v calc.SurfaceSpeed = 30", "30 is a SurfaceSpeed without a unit"},
		{"func _() { cut(calc.Length(angle)) }", "Length made of a Angle"},

		{"func _() { cut(3 * calc.Millimetre) }", ""},
		{"func _() { cut(calc.Millimetre * 3) }", ""},
		{"func _() { cut(five * calc.Millimetre) }", ""},
		{"func _() { cut(-3 * calc.Millimetre / 2) }", ""},
		{"func _() { cut(calc.Length(n) * calc.Micrometre) }", ""},
		{"func _() { cut(calc.Length(n-1) * a) }", ""},
		{"func _() { cut(calc.Micrometre * calc.Length(n)) }", ""},
		{"func _() { cut((2 * a) / 3 + b) }", ""},
		{"func _() { cut(a / calc.Length(n)) }", ""},
		{"func _() { cut(0); a = 0; _ = a > 0; cut(calc.Length(0)) }", ""},
		{"func _() { a *= 2; a /= 2; a >>= 1; _ = a % b; _ = a >> 1 }", ""},
		{"func _() { _ = int64(a); _ = float64(a) / 2; _ = n + 5; _ = a / b }", ""},
		{"func _() { _ = calc.Whole(3); _ = calc.Millimetres(3) ; _ = calc.PerTurn(2 * calc.Millimetre) }", ""},
		{"func _() { angle = 29*calc.Degree + 30*calc.Arcminute; speed = 250 * calc.RPM }", ""},
		{"const c = 7 * calc.Millimetre", ""},
		{"type own calc.Length\nfunc _(o own) { cut(calc.Length(o)) }", ""},
		{"func _() { _ = a/b > 12; _ = 2*a/b == 3; cut(a / b * calc.Millimetre); cut((a/b + 1) * calc.Millimetre) }", ""},
		{"var c = []calc.Length{0, 7 * calc.Inch / 16}", ""},
		{"func _() { for i := range 7 { _ = i }; _ = [7]calc.Length{3: 2 * calc.Thou}; _ = []calc.Length{a, b}[1] }", ""},
	} {
		fset := token.NewFileSet()
		f, err := parser.ParseFile(fset, "p.go", head+c.code, 0)
		if err != nil {
			t.Fatal(err)
		}
		info, err := check(fset, "p", []*ast.File{f}, all)
		if err != nil {
			t.Fatalf("%s: %v", c.code, err)
		}
		faults := unitFaults(fset, []*ast.File{f}, info)
		switch {
		case c.want == "" && len(faults) > 0:
			t.Errorf("%s: %q where nothing is wrong", c.code, faults)
		case c.want != "" && (len(faults) != 1 || !strings.Contains(faults[0], c.want)):
			t.Errorf("%s: %q, want one with %q", c.code, faults, c.want)
		}
	}
}

// may says which of our packages one of ours may import.
func may(from, to string) bool {
	in := func(p, root string) bool { return p == root || strings.HasPrefix(p, root+"/") }
	switch {
	case in(to, "turncue/cmd"):
		return in(from, "turncue/cmd")
	case in(from, "turncue/cmd"):
		return true
	case from == "turncue/calc":
		return false
	case from == "turncue/calc/thread":
		return to == "turncue/calc" || to == "turncue/calc/fit"
	case in(from, "turncue/calc"):
		return to == "turncue/calc"
	case from == "turncue/sounds":
		return false
	case in(from, "turncue/sounds"):
		return to == "turncue/sounds"
	case from == "turncue/sequence", from == "turncue/sequence/job":
		return in(to, "turncue/calc") || to == "turncue/sequence"
	case in(from, "turncue/sequence"):
		return in(to, "turncue/calc") || to == "turncue/sequence" || to == "turncue/sequence/job"
	}
	return false
}

// Imports run one way: calc imports none of ours, the packages below it only
// calc (thread also fit), sequence only calc and itself, sounds only itself; cmd
// ties them, and nothing imports cmd. Answer a failure by moving code.
func TestImportDirections(t *testing.T) {
	for _, p := range list(t) {
		for _, path := range p.Imports {
			if !p.DepOnly && strings.HasPrefix(path, "turncue/") && !may(p.ImportPath, path) {
				t.Errorf("%s imports %s", p.ImportPath, path)
			}
		}
	}
}

// calc and what is below it reads no file, no network, no clock of its own and no
// chance: it imports nothing that could.
func TestCalcIsPure(t *testing.T) {
	never := []string{"os", "os/exec", "io/fs", "embed", "net", "net/http", "log", "log/slog", "syscall", "math/rand", "math/rand/v2", "crypto/rand", "unsafe", "C", "reflect", "plugin"}
	checked := 0
	for _, p := range list(t) {
		if p.DepOnly || !strings.HasPrefix(p.ImportPath, "turncue/calc") {
			continue
		}
		checked++
		for _, path := range p.Imports {
			first, _, _ := strings.Cut(path, "/")
			own := path == "turncue/calc" || strings.HasPrefix(path, "turncue/calc/")
			if slices.Contains(never, path) || strings.Contains(first, ".") || first == "turncue" && !own {
				t.Errorf("%s imports %s", p.ImportPath, path)
			}
		}
	}
	if checked < 5 {
		t.Errorf("only %d packages checked", checked)
	}
}

func TestImportRuleItself(t *testing.T) {
	for _, c := range []struct {
		from, to string
		ok       bool
	}{
		{"turncue/calc", "turncue/calc/thread", false},
		{"turncue/calc/thread", "turncue/calc", true},
		{"turncue/calc/thread", "turncue/calc/fit", true},
		{"turncue/calc/gear", "turncue/calc/fit", false},
		{"turncue/calc/gear", "turncue/sequence", false},
		{"turncue/sequence", "turncue/calc/thread", true},
		{"turncue/sequence", "turncue/sequence/job", false},
		{"turncue/sequence/job", "turncue/sequence", true},
		{"turncue/sequence/job", "turncue/sequence/planner", false},
		{"turncue/sequence/planner", "turncue/sequence/job", true},
		{"turncue/sequence/planner", "turncue/sequence/bench", false},
		{"turncue/sequence/runner", "turncue/sounds", false},
		{"turncue/sequence/runner", "turncue/cmd/turncue/pedal", false},
		{"turncue/sounds", "turncue/calc", false},
		{"turncue/sounds/speaker", "turncue/sounds", true},
		{"turncue/cmd/turncue", "turncue/sounds/speaker", true},
		{"turncue/cmd/turncue", "turncue/cmd/turncue/pedal", true},
	} {
		if may(c.from, c.to) != c.ok {
			t.Errorf("%s importing %s: want %v", c.from, c.to, c.ok)
		}
	}
}

// The top level is closed.
func TestTopLevel(t *testing.T) {
	known := []string{"cmd", "sequence", "calc", "sounds", "testdata", "README.md", "DEVELOPERS.md", "go.mod", "go.sum", "LICENSE"}
	entries, err := os.ReadDir("..")
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if n := e.Name(); !strings.HasPrefix(n, ".") && !slices.Contains(known, n) {
			t.Errorf("%s does not belong at the top level", filepath.Base(n))
		}
	}
}
