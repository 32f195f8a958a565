package terminal

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode"

	"charm.land/lipgloss/v2"
)

var update = flag.Bool("update", false, "write the golden files again")

// threadPass is a cut of a thread, in the middle of a job.
var threadPass = View{
	Where: "step 41 of 88", Section: "thread M12x1.75, 28 mm long", Pass: "pass 3 of 9",
	BigLabel: "cross slide", Big: "0.350", Dial: "2 turns + 0.35",
	Size: "now 16.62 -> 16.02", Limits: "15.97 to 16.02",
	Lines:    []string{"Wind the cross slide in to 2 turns and 0.35.", "Come up to the reading from outside."},
	Cautions: []string{"leave the half-nuts closed"},
	Next:     "cut to the groove, then wind out one turn",
	Keys:     "space next   pgup back   r again   0-9 reading   p pause   ctrl+c stop",
}

// screens are the moments whose frames are kept.
var screens = map[string]View{
	"thread-pass": threadPass,
	"reading": {
		Where: "step 12 of 88", Section: "16 mm h9, 8 mm long", Pass: "cut 1 of 2", State: "not confirmed",
		BigLabel: "measure", Big: "Ø 16.62", Size: "now 16.62 -> 16.00", Limits: "15.957 to 16.000",
		Lines:    []string{"Measure the diameter and type it.", "Stop the spindle first, and let the part cool to your hand."},
		Cautions: []string{"the spindle stands still before you reach in", "keep the chuck key in your hand, never in the chuck"},
		Next:     "the last cut", Entry: "reading 16.0", Notice: "press enter when done",
		Keys: "enter done   backspace rub out   esc leave",
	},
	"gears": {
		Where: "step 30 of 88", Section: "change gears",
		BigLabel: "gears", Big: "60/45 30/60", Lines: []string{"Driver 60 on the spindle stud, driven 45 with 30 behind it on the first stud, driven 60 on the screw."},
		Cautions: []string{"isolate the supply and wait until everything stands still"},
		Next:     "close the guard", Keys: "space next   pgup back",
	},
	"paused": {
		Where: "step 77 of 88", Section: "part off", State: "paused", Big: "PAUSED",
		Lines: []string{"Nothing goes on until you press."}, Notice: "too fast: lift your foot", Keys: "space go on   ctrl+c stop",
	},
}

var sizes = [][2]int{{40, 20}, {80, 24}, {200, 60}}

func TestScreens(t *testing.T) {
	dir := filepath.Join("..", "..", "..", "testdata", "screens")
	want := map[string]bool{}
	for name, v := range screens {
		for _, s := range sizes {
			file := filepath.Join(dir, fmt.Sprintf("%s-%dx%d.txt", name, s[0], s[1]))
			want[filepath.Base(file)] = true
			compare(t, file, Frame(v, s[0], s[1])+"\n")
		}
		file := filepath.Join(dir, name+"-plain.txt")
		want[filepath.Base(file)] = true
		compare(t, file, Plain(v)+"\n")
	}
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if !want[f.Name()] {
			t.Errorf("%s belongs to no screen", f.Name())
		}
	}
}

func compare(t *testing.T, file, got string) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s has changed (write it again with -update):\n%s", file, got)
	}
}

// Every size and every text gives a frame of exactly that size, without anything
// that could move a cursor.
func TestFrameFitsAnySize(t *testing.T) {
	const seed = 5
	r := rand.New(rand.NewPCG(seed, 6))
	words := []string{"", "a", "feed the cross slide in", "Ø 16.02", "0.350", "\x1b[2J", "näch ↑ øst", "表示 長い", strings.Repeat("long ", 80), strings.Repeat("x", 300), "\t\n\r", "é\u202e!", "12 %"}
	word := func() string { return words[r.IntN(len(words))] }
	list := func() (l []string) {
		for range r.IntN(4) {
			l = append(l, word())
		}
		return l
	}
	for range 500 {
		w, h := 1+r.IntN(220), 1+r.IntN(70)
		if r.IntN(3) == 0 {
			w, h = 1+r.IntN(30), 1+r.IntN(16)
		}
		v := View{word(), word(), word(), word(), word(), word(), word(), word(), word(), list(), list(), word(), word(), word(), word()}
		lines := strings.Split(Frame(v, w, h), "\n")
		if len(lines) != h {
			t.Fatalf("seed %d: %dx%d has %d lines", seed, w, h, len(lines))
		}
		for _, l := range lines {
			if lipgloss.Width(l) > w {
				t.Fatalf("seed %d: %dx%d: %d wide: %q", seed, w, h, lipgloss.Width(l), l)
			}
			if strings.ContainsFunc(l, unicode.IsControl) {
				t.Fatalf("seed %d: %dx%d: control character in %q", seed, w, h, l)
			}
		}
	}
	if Frame(threadPass, 0, 0) != "" || Frame(threadPass, -1, 5) != "" {
		t.Error("a frame without a size is not empty")
	}
}

// Changing one field leaves the rows of all the others where they were.
func TestNothingElseMoves(t *testing.T) {
	for _, s := range append(sizes, [2]int{120, 40}, [2]int{60, 16}) {
		room := divide(s[0], s[1])
		before := strings.Split(Frame(threadPass, s[0], s[1]), "\n")
		at := func(rows ...int) (from, to int) {
			for _, n := range rows[:len(rows)-1] {
				from += n
			}
			return from, from + rows[len(rows)-1]
		}
		for _, c := range []struct {
			name   string
			change func(*View)
			rows   []int
		}{
			{"where", func(v *View) { v.Where = "step 42 of 88" }, []int{room.head}},
			{"big", func(v *View) { v.Big = "12.5" }, []int{room.head, room.label, room.big}},
			{"label", func(v *View) { v.BigLabel = "top slide" }, []int{room.head, room.label}},
			{"dial", func(v *View) { v.Dial = "" }, []int{room.head, room.label, room.big, room.dial}},
			{"size", func(v *View) { v.Size = "now 16.02" }, []int{room.head, room.label, room.big, room.dial, room.size}},
			{"lines", func(v *View) { v.Lines = nil }, []int{room.head, room.label, room.big, room.dial, room.size, room.lines}},
			{"note", func(v *View) { v.Notice, v.Entry = "too fast", "reading 1" }, []int{room.head, room.label, room.big, room.dial, room.size, room.lines, room.cautions, room.next, room.note}},
		} {
			v := threadPass
			c.change(&v)
			from, to := at(c.rows...)
			changed := false
			for y, line := range strings.Split(Frame(v, s[0], s[1]), "\n") {
				if line == before[y] {
					continue
				}
				changed = true
				if y < from || y >= to {
					t.Errorf("%v: %s has changed row %d: %q to %q", s, c.name, y, before[y], line)
				}
			}
			if !changed {
				t.Errorf("%v: %s has changed nothing", s, c.name)
			}
		}
	}
}

// What must be seen from 3 m is 20 mm high on a screen of 174 mm: the common rule
// is a height of the distance over 150.
func TestSeenFromThreeMetres(t *testing.T) {
	const screenHeight, need = 174.0, 20.0
	for _, s := range [][2]int{{80, 24}, {120, 40}, {200, 60}} {
		room := divide(s[0], s[1])
		rowHeight := screenHeight / float64(s[1])
		for _, c := range []struct {
			text   string
			height int
		}{{"0.350", room.big}, {"12.345", room.big}, {"CROSS SLIDE", room.label}, {"TOP SLIDE", room.label}} {
			drawn := big(c.text, s[0]-2, c.height)
			if drawn == nil {
				t.Errorf("%v: %s is not drawn", s, c.text)
				continue
			}
			dots := 0
			for _, line := range drawn {
				dots += len(halves(line))
			}
			if got := float64(dots) * rowHeight / 2; got < need {
				t.Errorf("%v: %s is %.1f mm high, want %.0f", s, c.text, got, need)
			}
			if c.text == "0.350" && lipgloss.Width(drawn[0]) < s[0]*6/10 {
				t.Errorf("%v: %s fills %d of %d cells", s, c.text, lipgloss.Width(drawn[0]), s[0])
			}
		}
	}
}

// halves has a 1 for each half row that has ink.
func halves(line string) string {
	top, bottom := "", ""
	if strings.ContainsAny(line, "█▀") {
		top = "1"
	}
	if strings.ContainsAny(line, "█▄") {
		bottom = "1"
	}
	return top + bottom
}

func TestGlyphs(t *testing.T) {
	const needed = `ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789 .,:-+/=%"'!?#()×°Ø↑↓←→`
	seen := map[glyph]rune{}
	for _, r := range needed {
		g, ok := glyphs[r]
		if !ok {
			t.Errorf("no glyph for %q", r)
			continue
		}
		if same, twice := seen[g]; twice {
			t.Errorf("%q and %q look the same", r, same)
		}
		seen[g] = r
	}
	for r, g := range glyphs {
		for y, line := range g {
			if len(line) != g.width() || strings.Trim(line, ".#") != "" {
				t.Errorf("row %d of %q is %q, width %d", y, r, line, g.width())
			}
		}
		if r >= '0' && r <= '9' && g.width() != 5 {
			t.Errorf("%q is %d wide: a changing number would shift", r, g.width())
		}
	}
	if _, ok := spell("M12x1.75"); !ok {
		t.Error("a thread cannot be spelt")
	}
	if g, _ := spell("2x"); g[1] != glyphs['×'] {
		t.Error("x after a figure is no times sign")
	}
	if g, _ := spell("box"); g[2] != glyphs['X'] {
		t.Error("x in a word is no letter")
	}
	if _, ok := spell("表"); ok || big("表", 80, 20) != nil {
		t.Error("a character without a glyph was drawn")
	}
}

func TestCautionsAreNotCut(t *testing.T) {
	v := threadPass
	v.Lines = v.Lines[:1]
	v.Cautions = []string{
		"the spindle stands still before you reach in",
		"keep the chuck key in your hand, never in the chuck",
		"swarf is sharp: use the hook",
	}
	got := strings.Join(strings.Fields(Frame(v, 80, 24)), " ")
	for _, c := range v.Cautions {
		if !strings.Contains(got, c) {
			t.Errorf("caution %q is not whole in\n%s", c, Frame(v, 80, 24))
		}
	}
}

func TestTwoLinesWhereLarger(t *testing.T) {
	if got := len(big("60/45 30/60", 118, 21)); got != 7+1+7 {
		t.Errorf("two pairs of wheels on 118 cells take %d rows, want two lines of 7 and a gap", got)
	}
	if got := big("60/45", 118, 21); len(got) != 14 && len(got) != 18 && len(got) != 21 {
		t.Errorf("one pair takes %d rows", len(got))
	}
}

func TestPlain(t *testing.T) {
	if got := Plain(View{}); got != "" {
		t.Errorf("nothing is %q", got)
	}
	got := Plain(View{Where: "step 2 of 4", Big: "0.350", Lines: []string{"Wind in.\x1b[31m"}, Notice: "n", Entry: "e", Keys: "k"})
	if want := "Step 2 of 4: 0.350. Wind in. [31m."; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	if strings.ContainsAny(Plain(screens["reading"]), "\n\x1b") {
		t.Error("more than a line")
	}
}

// What stands among the cautions is not shown among the sentences as well, large or plain.
func TestACautionIsShownOnce(t *testing.T) {
	v := View{
		Where: "step 1 of 2", Big: "0.42",
		Lines:    []string{"Cross slide in to 0.42.", "Mind the jaws.", "mind the jaws", "Leaves 21.16 mm."},
		Cautions: []string{"Mind the jaws"},
	}
	for _, size := range [][2]int{{80, 24}, {40, 20}, {200, 60}} {
		text := Frame(v, size[0], size[1])
		if n := strings.Count(strings.ToLower(text), "mind the jaws"); n != 1 {
			t.Errorf("%v: said %d times:\n%s", size, n, text)
		}
		if !strings.Contains(text, "CAUTION: Mind the jaws") || !strings.Contains(text, "Leaves 21.16 mm.") {
			t.Errorf("%v:\n%s", size, text)
		}
	}
	if got, want := Plain(v), "Step 1 of 2: 0.42. Cross slide in to 0.42. Leaves 21.16 mm. CAUTION: Mind the jaws."; got != want {
		t.Errorf("plain: %q, want %q", got, want)
	}
}

// A notice too long for its row is read to its end, on the smallest screen too; nothing
// but the sentences and the cautions below gives way, and what is typed stays in view.
func TestALongNoticeIsReadToItsEnd(t *testing.T) {
	v := View{
		Where: "step 47 of 139", Section: "finish, M12x1.75-6g", BigLabel: "MEASURE DIAMETER", Big: "12.16", Limits: "near 12.160 mm",
		Lines: []string{"Stop the spindle.", "Measure the diameter.", "It should be near 12.16 mm."}, Cautions: []string{"Spindle stopped before you touch the work", "Let it cool before you measure"},
		Next: "set the depth", Keys: "type the reading, enter   pgup back",
		Notice: "11.64 mm is under size by 0.061 mm (limit 11.701 mm), read twice: leave it in the chuck and measure again; if it stays so, sleeve it, make it anew, or try the next smaller size",
	}
	for _, size := range [][2]int{{80, 24}, {40, 20}, {60, 24}, {120, 40}} {
		for _, entry := range []string{"", "reading 11.6"} {
			v := v
			v.Entry = entry
			text := Frame(v, size[0], size[1])
			if read := strings.Join(strings.Fields(text), " "); !strings.Contains(read, v.Notice) || !strings.Contains(read, "CAUTION: Spindle") || !strings.Contains(read, entry) {
				t.Errorf("%v, typed %q:\n%s", size, entry, text)
			}
			if n := strings.Count(text, "\n") + 1; n != size[1] {
				t.Errorf("%v: %d rows", size, n)
			}
			short := v
			short.Notice = ""
			if a, b := rowOf(text, " next"), rowOf(Frame(short, size[0], size[1]), " next"); a != b {
				t.Errorf("%v: the row of what is next is %d, else %d", size, a, b)
			}
		}
	}
	wide := v
	wide.Notice = "not now"
	if text := Frame(wide, 80, 24); !strings.Contains(text, "Measure the diameter.") || !strings.Contains(text, "\n not now\n") {
		t.Errorf("a short notice:\n%s", text)
	}
}

func rowOf(text, begins string) int {
	for i, line := range strings.Split(text, "\n") {
		if strings.HasPrefix(line, begins) {
			return i
		}
	}
	return -1
}

// The sizes of the work are whole on every screen: a figure cut short would be another.
func TestSizesAreNotCut(t *testing.T) {
	v := View{Where: "step 15 of 139", Big: "0.84", Size: "now 21.165, then 20.325, end 15.979 mm", Lines: []string{"Cross slide in to 0.84."}}
	for _, size := range [][2]int{{40, 20}, {60, 20}, {80, 24}, {200, 60}} {
		text := Frame(v, size[0], size[1])
		if read := strings.Join(strings.Fields(text), " "); !strings.Contains(read, v.Size) {
			t.Errorf("%v:\n%s", size, text)
		}
	}
}

// What is to be done takes the rows that no caution needs, and settings are cut between
// two of them.
func TestALongInstructionOnASmallScreen(t *testing.T) {
	v := View{
		Where: "step 62 of 79", Pass: "pass 3 of 10", Big: "0.54", Dial: "0.54, handle clockwise, then 1 turn out, handle anticlockwise",
		Lines:    []string{"Pass 3 of 10.", "Cross slide in to 0.54.", "Forward, into the groove, watch the groove.", "Wind the cross slide out one full turn.", "In reverse, back past the start, and off."},
		Cautions: []string{"Oil the cut"}, Next: "thread: the pass 0.66",
	}
	text := Frame(v, 40, 20)
	read := strings.Join(strings.Fields(text), " ")
	for _, want := range []string{"In reverse, back past the start, and off.", "CAUTION: Oil the cut", "dial 0.54, handle clockwise … "} {
		if !strings.Contains(read, want) {
			t.Errorf("no %q:\n%s", want, text)
		}
	}
	if n := strings.Count(text, "\n") + 1; n != 20 {
		t.Errorf("%d rows", n)
	}
	if got := parts("0.54, handle clockwise, then 1 turn out", 60); got != "0.54, handle clockwise, then 1 turn out" {
		t.Errorf("cut without need: %q", got)
	}
}
