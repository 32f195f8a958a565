package gear

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"

	"turncue/calc"
)

// lines is "lines=1,5" as a list.
func lines(t *testing.T, s string) (out []int) {
	t.Helper()
	for _, f := range strings.Split(strings.TrimPrefix(s, "lines="), ",") {
		n, err := strconv.Atoi(f)
		must(t, err)
		out = append(out, n)
	}
	return out
}

// TestThreadDialAsReported: C086 to C097, which lines serve.
func TestThreadDialAsReported(t *testing.T) {
	num := func(k kase, name string) int {
		if k.in[name] == "" {
			return 0
		}
		n, err := strconv.Atoi(k.in[name])
		must(t, err)
		return n
	}
	for _, k := range cases(t, "thread_dial") {
		t.Run(k.id, func(t *testing.T) {
			screw := lead(t, k.in["leadscrew"])
			d := ThreadDial{Wheel: num(k, "dial_gear"), Lines: num(k, "lines"), First: num(k, "first")}
			if k.id == "C097" { // the dial alone
				close97(t, k.want, d, screw)
				return
			}
			l := lead(t, k.in["pitch"]+k.in["tpi"]+map[bool]string{true: " tpi"}[k.in["tpi"] != ""])
			var m Marks
			var err error
			if d.Wheel == 0 {
				m, err = Repeat(screw, l)
			} else {
				m, err = d.Marks(screw, l)
			}
			must(t, err)
			switch {
			case strings.HasPrefix(k.want, "lines="):
				if !slices.Equal(m.Lines, lines(t, k.want)) || m.HalfNuts != TheseLines {
					t.Errorf("%+v, want %s", m, k.want)
				}
			case strings.HasPrefix(k.want, "any line"):
				if m.HalfNuts != AnyLine || m.HalfNuts.String() != k.want || len(m.Lines) != d.Lines {
					t.Errorf("%+v, want %s", m, k.want)
				}
			case k.want == "anywhere":
				if m.HalfNuts != Anywhere {
					t.Errorf("%+v, want %s", m, k.want)
				}
			case strings.Contains(k.want, "common travel"):
				closed := strings.HasPrefix(k.want, "half-nuts stay closed")
				_, v, _ := strings.Cut(k.want, "common travel=")
				if m.Common != length(t, v) || closed && m.HalfNuts != StayClosed {
					t.Errorf("%+v, want %s", m, k.want)
				}
			default:
				t.Fatalf("expected %q is not known to the test", k.want)
			}
		})
	}
}

func close97(t *testing.T, want string, d ThreadDial, screw calc.Lead) {
	if want != "turn=4.375 in;not usable" {
		t.Fatalf("the case now says %q", want)
	}
	if d.Turn(screw) != 4375*calc.Thou {
		t.Errorf("a turn is %s", d.Turn(screw))
	}
	for _, n := range []int{1, 4, 5, 7, 8} {
		d.Lines = n
		if d.Useful(screw) {
			t.Errorf("%+v is useful", d)
		}
	}
	if !(ThreadDial{Wheel: 32, Lines: 8}).Useful(screw) {
		t.Error("a wheel of 32 teeth and 8 lines is not useful")
	}
}

// TestStartsAsReported: C112 to C115, threads of several starts.
func TestStartsAsReported(t *testing.T) {
	for _, k := range cases(t, "multistart") {
		t.Run(k.id, func(t *testing.T) {
			n, err := strconv.Atoi(k.in["starts"])
			must(t, err)
			switch k.id {
			case "C112":
				// the depth, 0.650, is the thread package's
				want(t, k, "lead=4.0;shift=1.000 per start;depth from pitch=0.650 (P/8 flat);half-nuts closed")
				s, err := StartsOf(n, lead(t, k.in["pitch"]))
				must(t, err)
				if s.Lead != lead(t, "4 mm") || s.Shift() != calc.Millimetre {
					t.Errorf("%+v shifts %s", s, s.Shift())
				}
				// The half-nuts would have to close after a shift of one pitch.
				m, err := ThreadDial{Wheel: 20, Lines: 4}.Marks(lead(t, k.in["leadscrew"]), s.Lead)
				must(t, err)
				if m.HalfNuts == Anywhere || m.HalfNuts == AnyLine {
					t.Errorf("half-nuts %s", m.HalfNuts)
				}
			case "C113":
				want(t, k, "lead=1/4in;gear for 4tpi (2:1);shift=0.125 in or 180 deg")
				s, err := StartsOf(n, lead(t, strings.Replace(k.in["pitch"], "in", " in", 1)))
				must(t, err)
				r, err := s.Lead.Over(lead(t, k.in["leadscrew"]))
				must(t, err)
				if s.Lead != lead(t, "4 tpi") || r != calc.Whole(2) || s.Shift() != 125*calc.Thou || s.Turn() != 180*calc.Degree {
					t.Errorf("%+v: ratio %s, shift %s, turn %s", s, r, s.Shift(), s.Turn())
				}
			case "C115":
				want(t, k, "60: skip 20 teeth;40: refuse")
				s := Starts{Count: n}
				if got, err := s.Teeth(60); err != nil || got != 20 {
					t.Errorf("60: %d, %v", got, err)
				}
				if got, err := s.Teeth(40); err == nil || !strings.Contains(err.Error(), "39 or 42") {
					t.Errorf("40: %d, %v", got, err)
				}
			default:
				t.Fatalf("case %s is not known to the test", k.id)
			}
		})
	}
	if _, err := StartsOf(0, lead(t, "1 mm")); err == nil {
		t.Error("no start: accepted")
	}
	// The first driver turns twice for one turn of the spindle: twice the teeth.
	if got, err := (Starts{Count: 4, First: calc.Whole(2)}).Teeth(40); err != nil || got != 20 {
		t.Errorf("%d, %v", got, err)
	}
}

func want(t *testing.T, k kase, text string) {
	t.Helper()
	if k.want != text {
		t.Fatalf("%s now says %q, the test checks %q", k.id, k.want, text)
	}
}

// TestLeftHandAsReported: C117, exactly one idler more on a lathe without a
// tumbler; the spindle keeps going forward.
func TestLeftHandAsReported(t *testing.T) {
	k := cases(t, "lefthand")[0]
	want(t, k, "add exactly one idler;start in the groove;travel away from headstock;spindle forward")
	w := Want{Lead: lead(t, "1 mm"), Leadscrew: lead(t, "1.5 mm"), Wheels: Wheels{20, 30, 40, 45, 50, 60, 65}, Most: 200}
	right, err := Search(w)
	must(t, err)
	w.LeftHand = true
	left, err := Search(w)
	must(t, err)
	idlers := map[string]int{}
	for _, tr := range right.Trains {
		idlers[fmt.Sprint(tr.Drivers, tr.Driven)] = len(tr.Idlers)
	}
	compared := 0
	for _, tr := range left.Trains {
		if tr.Meshes()%2 != 1 {
			t.Errorf("%s turns the leadscrew as the spindle", tr)
		}
		if n, ok := idlers[fmt.Sprint(tr.Drivers, tr.Driven)]; ok {
			compared++
			if len(tr.Idlers) != n+1 {
				t.Errorf("%s: %d idlers, right-hand has %d", tr, len(tr.Idlers), n)
			}
		}
	}
	if compared < 5 {
		t.Errorf("only %d trains compared", compared)
	}
}

// TestScratchPassAsReported: C131, ten threads counted where 8 tpi was wanted.
func TestScratchPassAsReported(t *testing.T) {
	for _, k := range cases(t, "validate") {
		if k.id != "C131" {
			continue
		}
		want(t, k, "stop;measured 6.5 tpi")
		n, err := strconv.Atoi(k.in["scratch count"])
		must(t, err)
		w := Want{Lead: lead(t, strings.Replace(k.in["want"], "tpi", " tpi", 1)), Leadscrew: lead(t, "8 tpi")}
		f, err := Scratch{Threads: n, Length: length(t, k.in["measured"])}.Read(w, Train{})
		must(t, err)
		tpi, err := f.Lead.PerInch()
		must(t, err)
		if f.Right || math.Abs(tpi.Float()-6.5) > 0.05 || !strings.Contains(strings.Join(f.Likely, "\n"), "6.5 tpi") {
			t.Errorf("%s tpi: %+v", tpi, f)
		}
		return
	}
	t.Fatal("no case C131")
}

// TestScratchPassExplained: slips made on purpose and measured with a rule.
func TestScratchPassExplained(t *testing.T) {
	w := Want{
		Lead: lead(t, "1.5 mm"), Leadscrew: lead(t, "3 mm"),
		Levers: []Lever{{"A", calc.Whole(1)}, {"B", ratioOf(t, "1/2")}, {"C", ratioOf(t, "2")}},
	}
	right := Train{Drivers: []int{30, 40}, Driven: []int{60, 40}, Lever: "A"}
	for name, c := range map[string]struct {
		cut  Train
		w    Want
		say  string
		good bool
	}{
		"right":       {right, w, "", true},
		"pair":        {Train{Drivers: []int{60, 40}, Driven: []int{30, 40}, Lever: "A"}, w, "the pair 30 and 60 is the wrong way round", false},
		"lever":       {Train{Drivers: []int{30, 40}, Driven: []int{60, 40}, Lever: "B"}, w, "the gearbox lever is at B", false},
		"place":       {Train{Drivers: []int{40, 40}, Driven: []int{60, 30}, Lever: "A"}, w, "stand in each other's place", false},
		"other screw": {right, Want{Lead: w.Lead, Leadscrew: lead(t, "8 tpi"), Levers: w.Levers}, "the leadscrew is 3.175 mm, not 3 mm", false},
	} {
		t.Run(name, func(t *testing.T) {
			cut, err := c.cut.Cuts(c.w)
			must(t, err)
			f, err := Scratch{Threads: 20, Length: cut.Travel(calc.Whole(20)).Round(100 * calc.Micrometre)}.Read(w, right)
			must(t, err)
			if f.Right != c.good || c.say != "" && !strings.Contains(strings.Join(f.Likely, "\n"), c.say) {
				t.Errorf("%+v does not say %q", f, c.say)
			}
		})
	}
	if _, err := (Scratch{}).Read(w, right); err == nil {
		t.Error("nothing measured: accepted")
	}
}

func ratioOf(t *testing.T, s string) calc.Ratio {
	t.Helper()
	r, err := calc.ParseRatio(s)
	must(t, err)
	return r
}
