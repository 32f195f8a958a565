package main

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence/job"
)

// A lathe file that is good is told in shop words. The room to stop in is worked out by
// hand: lead x rpm / 60 x delay and lead x coast turns x (rpm / rpm measured)^2.
func TestLatheCheckTells(t *testing.T) {
	for file, wants := range map[string][]string{
		"bench": {
			"bench lathe, 1.5 mm leadscrew (../../testdata/lathes/bench.toml)",
			"one turn moves 2 mm; marked 2 mm on 100 lines, 0.02 mm a line", "the ring shows what the slide moves (radius); slack 0.15 mm; clockwise moves the tool in",
			"15, from 20 to 80 teeth", "exactly 0.35 0.4 0.45 0.5 0.6 0.7 0.75 0.8 1 1.25 1.5 1.75 2 2.5 3 3.5 4 4.5 5 5.5 6",
			"by the motor", "bolted on: it cannot unscrew in reverse",
			// 70 rpm, 0.6 s, 0.8 turns from 100 rpm: (0.7 + 0.392) turns
			"runs on 0.8 turns from 100 rpm; with 0.6 s to switch off, a thread at the slowest speed of 70 rpm needs room in its groove, beside the tool: 1.1 mm for 1 mm, 1.7 mm for 1.5 mm, 2.2 mm for 2 mm",
			"grooving 2 mm wide, reaches 6 mm", "swing largest diameter over the bed not checked", "measure a micrometer read to 0.01 mm or 0.0001 in, and whatever else a plan asks for", "boring bar for a bore too large or too close to drill",
		},
		"inch16": {
			"one turn moves 0.1 in; marked 0.1 in on 100 lines, 0.001 in a line", "leadscrew 16 tpi", "per inch exactly 40 38 36 32", "screwed on: it can unscrew in reverse",
			// 45 rpm, 0.6 s, 1.2 turns from 75 rpm: (0.45 + 0.432) turns of 1/24, 1/16, 1/12 in: 0.0368, 0.0551, 0.0735
			"0.04 in for 24 tpi, 0.06 in for 16 tpi, 0.075 in for 12 tpi", "none: a thread comes back by the threading dial where one serves, else by the hand crank in the spindle", "centre drill for a bore, and work on a centre", "carriage no ring on the carriage wheel",
		},
		"micro":    {"one turn moves 1 mm; marked 2 mm on 40 lines, 0.05 mm a line; the ring shows what comes off the diameter", "a knob from 100 to 2000 turns a minute; motor 350 W"},
		"toolroom": {"tailstock one turn moves 5 mm", "6.8 mm; 7.7 mm; 10 mm"},
	} {
		out := strings.Join(strings.Fields(call(t, exitDone, "lathe", "check", "../../testdata/lathes/"+file+".toml")), " ")
		for _, want := range wants {
			if !strings.Contains(out, want) {
				t.Errorf("%s: %q is not in\n%s", file, want, out)
			}
		}
	}
}

// Everything wrong with a lathe file is told at once, each with place, line, caret and
// remedy; nothing of it is told as understood.
func TestLatheCheckFaults(t *testing.T) {
	path := filepath.Join(t.TempDir(), "bad.toml")
	text := "name = \"bad\"\nleadscrew = 3\nwheels = [20, 40]\nspeeds = [100]\nmotor = \"750\"\nreverse = \"motor\"\nchuck = \"glued\"\nswing = \"100 mm\"\nspindle_bore = \"200 mm\"\n" +
		"[cross_slide]\ntravel = \"2 mm\"\nmarked = \"4 mm\"\ndivisions = 100\n[top_slide]\ntravel = \"1 mm\"\ndivisions = 50\n[coast]\nturns = 0.8\n[[tool]]\nkind = \"turning\"\n[[measure]]\nkind = \"caliper\"\nto = \"150\"\n"
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	out := call(t, exitRefused, "lathe", "check", path)
	for _, want := range []string{
		"bad.toml:2:13: ", "bad.toml:5:9: motor: \"750\" is no power", "bad.toml:7:9: chuck is \"glued\"", "bad.toml:9:16: spindle_bore is 200 mm and swing is 100 mm", "bad.toml:12:10: the ring says 4 mm per turn and the slide moves 2 mm",
		"    marked = \"4 mm\"\n             ^^^^^^\nhint: a ring that says twice the travel shows the diameter: write reads = \"diameter\"", "at is missing", "resolution is missing", "bad.toml:23:6: ",
	} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	if strings.Contains(out, "slides") || strings.Count(out, "hint: ") != 8 {
		t.Errorf("printed\n%s", out)
	}
	call(t, exitUsage, "lathe", "check")
	if out := call(t, exitRefused, "lathe", "check", "no-such.toml"); !strings.Contains(out, "no-such.toml: there is no such file") {
		t.Error(out)
	}
}

// newAt runs turncue lathe new in a folder with lines typed, and gives what it said.
func newAt(t *testing.T, dir string, code int, lines []string, args ...string) string {
	t.Helper()
	t.Chdir(dir)
	var out, errs bytes.Buffer
	if got := run(context.Background(), append([]string{"lathe", "new"}, args...), strings.NewReader(strings.Join(lines, "\n")+"\n"), &out, &errs); got != code {
		t.Fatalf("exit %d, want %d\n%s%s", got, code, errs.String(), out.String())
	}
	return strings.Join(strings.Fields(errs.String()+out.String()), " ")
}

// bare is a lathe without the places of its file.
func bare(t *testing.T, text string) *job.Lathe {
	t.Helper()
	l, err := job.ParseLathe("l", text)
	if err != nil {
		t.Fatal(err)
	}
	l.Source = job.Source{}
	for i := range l.Tools {
		l.Tools[i].Pos = job.Pos{}
	}
	for i := range l.Measures {
		l.Measures[i].Pos = job.Pos{}
	}
	return l
}

// What is answered, wrongly at first here and there, is what the file says, and turncue
// lathe check takes it.
func TestLatheNewMetric(t *testing.T) {
	dir := t.TempDir()
	lines := []string{
		"loom shop lathe", "", // millimetres
		"100", "2 mm", "5 turns 10.03 mm", "no", "yes", // 2.006: a screw of 2 mm
		"test", "0.5 mm", "20.10 mm", "1.0 mm", "19.09 mm", // twice as much: radius
		"0.12", "0.12 mm", "", // the unit was missing
		"50", "1 mm", "1 mm", "0.08 mm", "out",
		"yes", "100", "20 mm", "5 turns 99.7 mm", "", // 19.94: the ring is true
		"yes", "80", "4 mm", "4 mm",
		"60 mm", "2", "rotating",
		"10 threads 29.9 mm", "", // a leadscrew of 3 mm
		"20 20 30 40 60 127", "40 teeth 51.8 mm", "", // 1.233: none is near
		"1/2", "yes", "A=1 B=1/2", "no", "yes", "16", "8",
		"50-2000", "1.1 kW", "900", "motor", "screwed", "crank", "2000", "", "0.8 0.9 0.8", "apprentice", "0.1 mm; 0.2 mm", "0.5 mm",
		"180 mm", "110 mm", "20 mm", "350 mm", "50 mm", "both",
		"HSS right; carbide left", "", "2 mm reach 6 mm; 3 mm carbide", "2 mm reach 12 mm", "radius 0.15 mm width 2.4 mm upside down; flat 0.2 mm", "2 mm", "1 to 3 by 0.5 mm; 6.8 12 mm", "8 mm", "8 12 mm", "M6; M8x1", "10 mm tip radius 0.1 mm reach 30 mm", "10 mm width 3 mm", "1.5 mm", "straight 0.8 mm width 6 mm size 20 mm; diamond 1 mm  width 8 mm size 20 mm clamp 1.5 mm",
		"yes", "0-25 mm 0.01 mm; 25-50 mm 0.001 mm", "150 mm 0.02 mm", "", "8-50 mm", "3-13 mm", "25-50 mm 0.01 mm", "300 mm 0.5 mm", "0.01 mm", "M12x1.75-6g; M8", "M10x1-6H", "0.6 1.0 mm", "yes",
		"shop.toml", "yes",
	}
	said := newAt(t, dir, exitDone, lines)
	for _, want := range []string{
		"That is 2.006 mm a turn.", "Then write what it is, or go back and measure again.", "Screws are made with 2 mm, which is 0.3 % from what you measured.", "The diameter changed by twice as much as the ring: it shows the radius.",
		`"0.12" has no unit: write 0.12 mm, 0.12 in or 0.12 thou.`, "Leadscrews are made with 3 mm.", "The ring says 20 mm, which is 0.3 % from what you measured.", "That is module 1.233, which is none that is usual",
		"CAUTION. This turns the spindle.", "A chuck that is screwed on can unscrew in reverse", "Taken: 0.9 turns, the worst.", "shop.toml is written.",
	} {
		if !strings.Contains(said, want) {
			t.Errorf("%q was not said in\n%s", want, said)
		}
	}
	text, err := os.ReadFile(filepath.Join(dir, "shop.toml"))
	if err != nil {
		t.Fatal(err)
	}
	const want = `
name = "loom shop lathe"
leadscrew = "3 mm"
wheels = [20, 20, 30, 40, 60, 127]
fixed = "1/2"
levers = { A = "1", B = "1/2" }
tumbler = false
speeds = { min = 50, max = 2000 }
motor = "1100 W"
base_speed = 900
reverse = "motor"
chuck = "screwed"
threading = "crank"
chuck_limit = 2000
delay = "1 s"
power_feed = ["0.1 mm", "0.2 mm"]
depth_of_cut = "0.5 mm"
swing = "180 mm"
swing_over_slide = "110 mm"
spindle_bore = "20 mm"
spindle_length = "350 mm"
chuck_depth = "50 mm"
steady = ["fixed", "travelling"]
[banjo]
module = "1.233 mm"
[cross_slide]
travel = "2 mm"
divisions = 100
slack = "0.12 mm"
[top_slide]
travel = "1 mm"
divisions = 50
slack = "0.08 mm"
clockwise = "out"
[carriage]
travel = "20 mm"
divisions = 100
[tailstock]
travel = "4 mm"
divisions = 80
sleeve = "60 mm"
taper = "MT2"
centre = "live"
[thread_dial]
wheel = 16
lines = 8
[coast]
turns = 0.9
at = 100
[[tool]]
kind = "turning"
[[tool]]
kind = "turning"
steel = "carbide"
hand = "left"
[[tool]]
kind = "chamfer"
[[tool]]
kind = "grooving"
width = "2 mm"
reach = "6 mm"
[[tool]]
kind = "grooving"
width = "3 mm"
steel = "carbide"
[[tool]]
kind = "parting"
width = "2 mm"
reach = "12 mm"
[[tool]]
kind = "threading"
tip = "radius 0.15 mm"
width = "2.4 mm"
upside_down = true
[[tool]]
kind = "threading"
tip = "flat 0.2 mm"
[[tool]]
kind = "centre drill"
size = "2 mm"
[[tool]]
kind = "drill"
size = "1 mm"
[[tool]]
kind = "drill"
size = "1.5 mm"
[[tool]]
kind = "drill"
size = "2 mm"
[[tool]]
kind = "drill"
size = "2.5 mm"
[[tool]]
kind = "drill"
size = "3 mm"
[[tool]]
kind = "drill"
size = "6.8 mm"
[[tool]]
kind = "drill"
size = "12 mm"
[[tool]]
kind = "reamer"
size = "8 mm"
[[tool]]
kind = "boring bar"
size = "8 mm"
[[tool]]
kind = "boring bar"
size = "12 mm"
[[tool]]
kind = "tap"
thread = "M6"
[[tool]]
kind = "tap"
thread = "M8x1"
[[tool]]
kind = "inside threading"
size = "10 mm"
tip = "radius 0.1 mm"
reach = "30 mm"
[[tool]]
kind = "inside grooving"
size = "10 mm"
width = "3 mm"
[[tool]]
kind = "rounding"
size = "1.5 mm"
[[tool]]
kind = "knurling"
pattern = "straight"
pitch = "0.8 mm"
holder = "bump"
width = "6 mm"
size = "20 mm"
[[tool]]
kind = "knurling"
pattern = "diamond"
pitch = "1 mm"
holder = "clamp"
width = "8 mm"
size = "20 mm"
closing = "1.5 mm"
[[measure]]
kind = "micrometer"
to = "25 mm"
resolution = "0.01 mm"
[[measure]]
kind = "micrometer"
from = "25 mm"
to = "50 mm"
resolution = "0.001 mm"
[[measure]]
kind = "caliper"
to = "150 mm"
resolution = "0.02 mm"
[[measure]]
kind = "telescopic gauge"
from = "8 mm"
to = "50 mm"
[[measure]]
kind = "small-hole gauge"
from = "3 mm"
to = "13 mm"
[[measure]]
kind = "inside micrometer"
from = "25 mm"
to = "50 mm"
resolution = "0.01 mm"
[[measure]]
kind = "rule"
to = "300 mm"
resolution = "0.5 mm"
[[measure]]
kind = "dial indicator"
resolution = "0.01 mm"
[[measure]]
kind = "ring gauge"
thread = "M12x1.75-6g"
[[measure]]
kind = "ring gauge"
thread = "M8"
[[measure]]
kind = "plug gauge"
thread = "M10x1-6H"
[[measure]]
kind = "thread wires"
size = "0.6 mm"
[[measure]]
kind = "thread wires"
size = "1 mm"
[[measure]]
kind = "pitch gauge"
`
	if got, want := bare(t, string(text)), bare(t, want); !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v\nwant %+v\n%s", got, want, text)
	}
	if out := call(t, exitDone, "lathe", "check", "shop.toml"); !strings.Contains(out, "loom shop lathe") {
		t.Error(out)
	}
	if said := newAt(t, dir, exitRefused, nil, "-o", "shop.toml"); !strings.Contains(said, "shop.toml is there already, and is not overwritten") {
		t.Error(said)
	}
}

// answering is a dialogue whose questions are answered one by one, by their keys.
type answering struct {
	t    *testing.T
	d    *dialogue
	said strings.Builder
}

func newAnswering(t *testing.T) *answering {
	a := &answering{t: t}
	a.d = &dialogue{answers: latheAnswers{}, before: latheAnswers{}, out: "out.toml", say: func(format string, args ...any) { fmt.Fprintf(&a.said, format, args...) }}
	return a
}

// key is the question that is asked now, "" at the end.
func (a *answering) key() string {
	q, _, _ := a.d.next()
	if q == nil {
		return ""
	}
	return q.key
}

// tell answers the question that is asked now, and gives what was said to it.
func (a *answering) tell(text string) (taken bool, said string) {
	q, _, _ := a.d.next()
	if q == nil {
		a.t.Fatalf("%q answers no question", text)
	}
	a.said.Reset()
	taken = a.d.take(q, text)
	return taken, strings.Join(strings.Fields(a.said.String()), " ")
}

// fill answers with the answers given, by their keys, and takes what is offered for all
// others, up to a question.
func (a *answering) fill(answers map[string]string, upTo string) {
	a.t.Helper()
	for n := 0; n < 100; n++ {
		key := a.key()
		if key == "" || key == upTo {
			return
		}
		if taken, _ := a.tell(answers[key]); taken {
			continue
		}
		if taken, said := a.tell(answers[key]); !taken { // unusual, and meant: the second time it is taken
			a.t.Fatalf("%s: %q is not taken: %s", key, answers[key], said)
		}
	}
	a.t.Fatal("a hundred questions, and no end")
}

// least is answers to what needs one.
var least = map[string]string{
	"name": "l", "cross.divisions": "100", "cross.marked": "2 mm", "cross.travel": "2 mm", "cross.slack": "0.1 mm", "top.divisions": "50", "top.marked": "1 mm", "top.travel": "1 mm", "top.slack": "0.1 mm",
	"leadscrew": "3 mm", "wheels": "20 40", "speeds": "70 115 200", "motor": "750 W", "reverse": "motor", "chuck": "bolted", "coast.turns": "0.8", "carriage.divisions": "100", "carriage.marked": "20 mm", "carriage.travel": "20 mm",
	"cross.cut.a": "0.5 mm", "cross.cut.d1": "20 mm", "cross.cut.b": "1 mm", "cross.cut.d2": "19 mm", "thread_dial.wheel": "16", "thread_dial.lines": "8", "gearbox.levers": "A=1",
}

func with(pairs ...string) map[string]string {
	m := maps.Clone(least)
	for i := 0; i < len(pairs); i += 2 {
		m[pairs[i]] = pairs[i+1]
	}
	return m
}

// A wrong answer is not taken: the reason is said, and the question asked again.
func TestLatheNewRefuses(t *testing.T) {
	yes := with("measure", "yes", "gearbox", "yes", "thread_dial", "yes", "carriage.ring", "yes", "speeds", "50-2000", "cross.reads", "test")
	for _, c := range []struct{ key, answer, why string }{
		{"name", "", "This needs an answer"},
		{"units", "furlongs", `"furlongs" is none of mm, in`},
		{"cross.divisions", "many", "is no whole number: count the lines of one whole turn"},
		{"cross.divisions", "0", "is no whole number"},
		{"cross.marked", "2", `"2" has no unit: write 2 mm, 2 in or 2 thou`},
		{"cross.marked", "2,5 mm", "has a comma"},
		{"cross.marked", "2.333 mm", "which no ring has"},
		{"cross.travel", "3 mm", "The ring says 2 mm per turn and the slide moves 3 mm: measure the travel"},
		{"cross.travel", "0 turns 10 mm", `"0" is no count`},
		{"cross.travel", "5 turns 10", `"10" has no unit`},
		{"cross.travel", "5 turns -1 mm", "is not above zero"},
		{"cross.travel", "5 turns 50 mm", "a travel of 10 mm is unusual"},
		{"cross.reads", "diameter", "a ring that shows the diameter is marked with twice what the slide moves, 4 mm, and this one with 2 mm"},
		{"cross.cut.d2", "19.25 mm", "the ring moved 0.5 mm and the diameter changed by 0.75 mm: neither"},
		{"cross.cut.d2", "20 mm", "too little to tell"},
		{"cross.cut.d2", "19.5 mm", "a ring that shows the diameter is marked with twice"},
		{"cross.slack", "7 mm", "a third of a turn or more is a slide to adjust first"},
		{"cross.clockwise", "left", "is none of in, out"},
		{"carriage.travel", "20 in", "a travel of 20 in is unusual: from 5 to 80 mm"},
		{"leadscrew", "8", `is no lead`},
		{"leadscrew", "10 threads", `is no lead`},
		{"leadscrew", "300 mm", "a leadscrew of 300 mm is unusual"},
		{"wheels", "20", "one wheel makes no train"},
		{"wheels", "20 4", "a wheel of 4 teeth is none"},
		{"wheels", "20 forty", `"forty" is no count of teeth`},
		{"module", "4 teeth 42 mm", "are no change wheel"},
		{"fixed", "0", "is no ratio above zero"},
		{"gearbox.levers", "A", "write each as NAME=RATIO"},
		{"gearbox.levers", "A=none", "is no ratio"},
		{"thread_dial.lines", "eight", "count the lines on its face"},
		{"speeds", "fast", "is no speed in turns a minute"},
		{"speeds", "200-50", "min is 200 rpm and max is 50 rpm"},
		{"speeds", "70 70", "70 rpm is there twice"},
		{"motor", "750", "is no power"},
		{"motor", "750 mm", "is no power"},
		{"motor", "1/2", "is no power"},
		{"reverse", "yes", "is none of motor, none"},
		{"chuck", "glued", "is none of screwed, bolted, camlock"},
		{"threading", "by hand", "is none of reverse, crank, dial, away"},
		{"chuck_limit", "two thousand", "is no speed"},
		{"coast.turns", "a few", `is no count of turns`},
		{"coast.turns", "0", "no turn at all is no coast"},
		{"coast.turns", "30", "more than a dozen turns at a threading speed is unusual"},
		{"coast.turns", "brake 8 s", "a brake that takes more than 3 s is hardly one"},
		{"coast.turns", "brake soon", "is no count of turns"},
		{"delay", "2 min", "is no time"},
		{"power_feed", "0.1", "is no lead"},
		{"power_feed", "20 mm", "a power feed of 20 mm is coarser than the leadscrew of 3 mm"},
		{"depth_of_cut", "0.5", "has no unit"},
		{"depth_of_cut", "8 mm", "a roughing depth on the radius of 8 mm is unusual"},
		{"spindle_bore", "20 in", "is unusual"},
		{"swing_over_slide", "200 mm", "swing_over_slide is 200 mm and swing is 180 mm"},
		{"tools.turning", "steel", "is none of HSS, carbide"},
		{"tools.grooving", "2", "has no unit"},
		{"tools.grooving", "2 mm reach 30 mm", "a blade 2 mm wide cannot reach 30 mm"},
		{"tools.threading", "blunt", "tip"},
		{"tools.threading", "radius 0.1 mm reach 5 mm", "has no reach"},
		{"tools.drill", "5 to 1 by 0.5 mm", "is no series of sizes"},
		{"tools.drill", "five mm", "is no size"},
		{"tools.drill", "5 6", "has no unit"},
		{"tools.drill", "1 to 10 by 0.05 mm", "there are more than 100 tools"},
		{"tools.tap", "M6x1x1", "neither a class nor a hand"},
		{"tools.inside_thread", "10 mm radius 0.1 mm", "does not say its tip"},
		{"tools.inside_groove", "10 mm", "does not say the width"},
		{"tools.rounding", "round", "is no size"},
		{"tools.knurling", "diamond 1 mm", "is no knurling tool"},
		{"tools.knurling", "straight 0.8 width 6 mm size 20 mm", "has no unit"},
		{"tools.knurling", "straight 0.8 mm width 6 mm size 20 mm clamp 90 mm", "closing"},
		{"measure.micrometer", "0-25 mm", "does not say what it is read to"},
		{"measure.micrometer", "50-25 mm 0.01 mm", "from is 50 mm and to is 25 mm"},
		{"measure.micrometer", "big", "is no range"},
		{"measure.caliper", "150 mm 20 mm", "resolution is 20 mm"},
		{"measure.telescopic", "8-50 mm 0.01 mm", "write the range alone"},
		{"measure.smallhole", "3-13 mm 0.01 mm", "write the range alone"},
		{"measure.indicator", "0.01", "has no unit"},
		{"measure.ring", "M12x1.75x", "neither a class nor a hand"},
		{"write", "no", "back goes back to the questions"},
	} {
		a := newAnswering(t)
		a.fill(maps.Clone(yesWith(yes, "swing", "180 mm")), c.key)
		if a.key() != c.key {
			t.Errorf("%s is never asked", c.key)
			continue
		}
		taken, said := a.tell(c.answer)
		if taken || !strings.Contains(strings.ToLower(said), strings.ToLower(c.why)) {
			t.Errorf("%s, %q: taken %v: %s", c.key, c.answer, taken, said)
		}
		if a.key() != c.key {
			t.Errorf("%s is not asked again after %q", c.key, c.answer)
		}
		if taken, said := a.tell(yes[c.key]); !taken && yes[c.key] != "" {
			t.Errorf("%s: %q after %q is not taken: %s", c.key, yes[c.key], c.answer, said)
		}
	}
}

func yesWith(m map[string]string, key, value string) map[string]string {
	m = maps.Clone(m)
	m[key] = value
	return m
}

// What is unusual but meant is taken when it is written once more; another unusual
// answer is questioned again.
func TestLatheNewTakesTheUnusual(t *testing.T) {
	a := newAnswering(t)
	a.fill(least, "cross.divisions")
	for _, c := range []struct {
		answer string
		want   bool
	}{{"12", false}, {"10", false}, {"10", true}} {
		if taken, said := a.tell(c.answer); taken != c.want || !c.want && !strings.Contains(said, "If it is right, write it once more.") {
			t.Errorf("%s: taken %v: %s", c.answer, taken, said)
		}
	}
}

// Going back asks the question before again and offers what was answered; what was
// answered after it is offered too.
func TestLatheNewGoesBack(t *testing.T) {
	dir := t.TempDir()
	lines := []string{"back", "l", "back", "", "", "100", "2 mm", "back", "back", "50", "", "2 mm", "", "0.1 mm", "", "stop", "no"}
	said := newAt(t, dir, exitStopped, lines)
	for _, want := range []string{"This is the first question.", "[l, as before] > ", "[100, as before] > ", "[2 mm, as before] > ", "Keep the 8 answers in lathe.toml.draft"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q was not said in\n%s", want, said)
		}
	}
	if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
		t.Errorf("left behind: %v, %v", left, err)
	}
}

// script is the lines of the shortest lathe, in the order of the questions.
func shortest(t *testing.T) (lines []string) {
	a := newAnswering(t)
	for key := a.key(); key != ""; key = a.key() {
		lines = append(lines, least[key])
		if taken, said := a.tell(least[key]); !taken {
			t.Fatalf("%s: %s", key, said)
		}
	}
	return lines
}

// Wherever the input ends, what was answered is kept, nothing half is written, and from
// the draft the same lathe is made.
func TestLatheNewIsResumed(t *testing.T) {
	lines := shortest(t)
	whole := t.TempDir()
	newAt(t, whole, exitDone, lines, "-o", "out.toml")
	want, err := os.ReadFile(filepath.Join(whole, "out.toml"))
	if err != nil {
		t.Fatal(err)
	}
	for n := 1; n < len(lines); n++ {
		dir := t.TempDir()
		var out, errs bytes.Buffer
		t.Chdir(dir)
		if got := run(context.Background(), []string{"lathe", "new", "-o", "out.toml"}, strings.NewReader(strings.Join(lines[:n], "\n")+"\n"), &out, &errs); got != exitRefused {
			t.Fatalf("ended after %d answers: exit %d", n, got)
		}
		if _, err := os.Stat("out.toml"); !os.IsNotExist(err) {
			t.Fatalf("after %d answers a lathe is written", n)
		}
		if !strings.Contains(errs.String(), "go on with turncue lathe new --from out.toml.draft") {
			t.Fatalf("after %d answers: %s", n, errs.String())
		}
		said := newAt(t, dir, exitDone, lines[n:], "-o", "out.toml", "--from", "out.toml.draft")
		if want := fmt.Sprintf("%d answers taken over.", n); !strings.Contains(said, want) {
			t.Errorf("not %q: %s", want, said)
		}
		if got, err := os.ReadFile("out.toml"); err != nil || string(got) != string(want) {
			t.Fatalf("gone on after %d answers, %v:\n%s", n, err, got)
		}
	}
}

// A draft is never taken for a lathe, nor a lathe for a draft, and one that says what is
// not taken any more is asked again from there.
func TestLatheDrafts(t *testing.T) {
	dir := t.TempDir()
	said := newAt(t, dir, exitStopped, []string{"l", "", "100", "stop", "yes"})
	if !strings.Contains(said, "Keep the 3 answers in lathe.toml.draft") || !strings.Contains(said, "the answers are kept; go on with turncue lathe new --from lathe.toml.draft") {
		t.Error(said)
	}
	newAt(t, dir, exitStopped, []string{"m", "stop", ""}) // the first one is not overwritten
	for name, want := range map[string]string{"lathe.toml.draft": `"cross.divisions" = "100"`, "lathe.toml-2.draft": `"name" = "m"`} {
		if b, err := os.ReadFile(filepath.Join(dir, name)); err != nil || !strings.Contains(string(b), want) {
			t.Errorf("%s: %v\n%s", name, err, b)
		}
	}
	if out := call(t, exitRefused, "lathe", "check", "lathe.toml.draft"); !strings.Contains(out, "answers is not known") {
		t.Error(out)
	}
	if err := os.WriteFile("no.draft", []byte("name = \"l\"\n"), 0o644); err != nil {
		t.Fatal(err)
	}
	if out := call(t, exitRefused, "lathe", "new", "--from", "no.draft"); !strings.Contains(out, "this is no draft of turncue lathe new") {
		t.Error(out)
	}
	text := draft("old.draft", latheAnswers{"name": "old", "units": "cubits", "cross.divisions": "100"}, nil)
	if err := os.WriteFile("old.draft", []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
	said = newAt(t, dir, exitRefused, []string{"in"}, "--from", "old.draft")
	for _, want := range []string{`The answer "cubits" is not taken any more`, "1 answers taken over", "2 of", "[100, as before]"} {
		if !strings.Contains(said, want) {
			t.Errorf("%q was not said in\n%s", want, said)
		}
	}
}

// Random lathes, answered, are written and read back as they were answered: in either
// unit, with rings on either marking, measured or known.
func TestLatheNewRoundTrip(t *testing.T) {
	const seed = 20
	dice := rand.New(rand.NewPCG(seed, 0x1a7e))
	pick := func(list ...string) string { return list[dice.IntN(len(list))] }
	for n := range 100 {
		turn := pick("1 mm", "1.25 mm", "1.5 mm", "2 mm", "0.05 in", "0.1 in", "0.125 in")
		travel, err := calc.ParseLength(turn)
		if err != nil {
			t.Fatal(err)
		}
		diameter := dice.IntN(2) == 0
		marked := travel
		if diameter {
			marked *= 2
		}
		slack := calc.Length(1+dice.IntN(20)) * 10 * calc.Micrometre
		lead := pick("1.5 mm", "2 mm", "3 mm", "4 mm", "8 tpi", "10 tpi", "16 tpi")
		var answered string
		switch turns := 1 + dice.IntN(10); dice.IntN(2) {
		case 0:
			answered = turn
		default:
			answered = fmt.Sprintf("%d turns %s", turns, calc.Length(turns)*travel)
		}
		reading := slack
		if diameter {
			reading *= 2
		}
		answers := with("units", pick("mm", "in"), "cross.divisions", "50", "cross.marked", marked.String(), "cross.travel", answered,
			"cross.slack", reading.String(), "cross.clockwise", pick("in", "out"), "leadscrew", lead, "reverse", pick("motor", "none"), "chuck", pick("screwed", "bolted", "camlock"),
			"speeds", pick("70 115 200", "45, 90", "50-1500"), "coast.turns", pick("0.5", "1.25", "0.4 0.6 0.5", "brake 0.3 s"), "tools.drill", pick("none", "1 to 3 by 0.5 mm", "1/4 3/8 in", "5; 6.8 mm; 1/2 in"))
		a := newAnswering(t)
		a.fill(answers, "")
		l, err := job.ParseLathe("l", a.d.answers.text(false))
		if err != nil {
			t.Fatalf("seed %d, lathe %d: %v\n%s", seed, n, err, a.d.answers.text(false))
		}
		want, err := calc.ParseLead(lead)
		if err != nil {
			t.Fatal(err)
		}
		// Micrometres of slack come back through the ring's marking.
		if l.Cross.Travel != travel || l.Cross.OnDiameter != diameter || (l.Cross.Slack-slack).Abs() > calc.Nanometre || l.CrossClockwiseIn != (answers["cross.clockwise"] == "in") || l.Leadscrew != want ||
			string(l.Chuck) != answers["chuck"] || string(l.Reverse) != answers["reverse"] || fmt.Sprint(l.Cross.Divisions) != answers["cross.divisions"] {
			t.Fatalf("seed %d, lathe %d: answered %v, read %+v", seed, n, answers, l)
		}
		coast := map[string]float64{"0.5": 0.5, "1.25": 1.25, "0.4 0.6 0.5": 0.6}[answers["coast.turns"]]
		if l.Coast.Turns != coast || (l.Coast.Time > 0) != strings.HasPrefix(answers["coast.turns"], "brake") {
			t.Fatalf("seed %d, lathe %d: coast %+v of %q", seed, n, l.Coast, answers["coast.turns"])
		}
		var drills []calc.Length
		for _, tool := range l.Tools {
			if tool.Kind == job.KindDrill {
				drills = append(drills, tool.Size)
			}
		}
		um, in := calc.Micrometre, calc.Inch
		if want := map[string][]calc.Length{
			"1 to 3 by 0.5 mm": {1000 * um, 1500 * um, 2000 * um, 2500 * um, 3000 * um}, "1/4 3/8 in": {in / 4, 3 * in / 8}, "5; 6.8 mm; 1/2 in": {5000 * um, 6800 * um, in / 2},
		}[answers["tools.drill"]]; !slices.Equal(drills, want) {
			t.Fatalf("seed %d, lathe %d: drills %v of %q", seed, n, drills, answers["tools.drill"])
		}
	}
}

// Who works in inches gets a file in inches: fractions, half a horsepower, thou.
func TestLatheNewInch(t *testing.T) {
	a := newAnswering(t)
	a.fill(with("units", "in", "cross.marked", "100 thou", "cross.travel", "10 turns 1.002 in", "cross.slack", "6 thou", "top.marked", "1/10 in", "top.divisions", "100", "top.travel", "10 turns 0.5 in", "top.reads", "diameter", "top.slack", "10 thou",
		"leadscrew", "10 threads 1-1/4 in", "module", "40 teeth 2.1 in", "motor", "3/4 hp", "tools.centre", "5/64 in", "tools.drill", "1/8 3/16 1-1/64 in", "tools.grooving", "1/16 in"), "")
	text := a.d.answers.text(false)
	l := bare(t, text)
	lead, err := calc.ParseLead("8 tpi")
	if err != nil {
		t.Fatal(err)
	}
	in, thou := calc.Inch, calc.Thou
	if l.Cross.Travel != 100*thou || l.Cross.OnDiameter || l.Cross.Slack != 6*thou || l.Leadscrew != lead || l.Power != 559 || l.Banjo.Module != 1270*calc.Micrometre {
		t.Errorf("%+v\n%s", l, text)
	}
	// The ring of the top slide says twice what it moves: the slack it shows is halved.
	if l.Top.Travel != 50*thou || !l.Top.OnDiameter || l.Top.Slack != 5*thou {
		t.Errorf("%+v\n%s", l.Top, text)
	}
	for i, want := range []calc.Length{5 * in / 64, in / 8, 3 * in / 16, in + in/64} {
		if got := l.Tools[len(l.Tools)-4+i].Size; got != want {
			t.Errorf("%s, want %s\n%s", got, want, text)
		}
	}
	for _, want := range []string{`size = "5/64 in"`, `size = "0.125 in"`, `size = "1-1/64 in"`, `travel = "0.1 in"`, `slack = "0.006 in"`, `width = "1/16 in"`, `motor = "0.75 hp"`} {
		if !strings.Contains(text, want) {
			t.Errorf("%s is not in\n%s", want, text)
		}
	}
}

// Every question says how to find out, and every answer it offers is one it takes.
func TestLatheQuestionsExplainThemselves(t *testing.T) {
	asked := map[string]bool{}
	for _, answers := range []map[string]string{
		with("measure", "yes", "gearbox", "yes", "thread_dial", "yes", "carriage.ring", "yes", "tailstock.ring", "yes", "tailstock.divisions", "80", "tailstock.marked", "4 mm", "tailstock.travel", "5 turns 19.9 mm", "speeds", "50-2000", "cross.reads", "test",
			"cross.travel", "5 turns 10.01 mm", "leadscrew", "10 threads 31.5 mm", "module", "40 teeth 42.1 mm"),
		least,
	} {
		a := newAnswering(t)
		for key := a.key(); key != ""; key = a.key() {
			q, _, _ := a.d.next()
			asked[key] = true
			if q.more == "" || !strings.HasSuffix(q.more, ".") || q.ask == "" || q.part == "" {
				t.Errorf("%s does not explain itself: %+v", key, q)
			}
			if q.blank != "" {
				if _, err := q.take(q.blank); err != nil {
					t.Errorf("%s does not take what it offers, %q: %v", key, q.blank, err)
				}
			}
			if taken, said := a.tell(answers[key]); !taken {
				t.Fatalf("%s: %s", key, said)
			}
		}
	}
	for _, key := range []string{"cross.cut.d2", "coast.turns", "cross.cut.a"} {
		if !asked[key] {
			t.Errorf("%s is never asked", key)
		}
	}
}

// Sizes that no micrometer listed reaches are told; 25 mm and an inch meet.
func TestMicrometerGaps(t *testing.T) {
	const measure = "[[measure]]\nkind = \"micrometer\"\n"
	bench, err := os.ReadFile("../../testdata/lathes/bench.toml")
	if err != nil {
		t.Fatal(err)
	}
	for want, tables := range map[string]string{
		"no micrometer from 25 mm to 50 mm": measure + "from = \"50 mm\"\nto = \"75 mm\"\nresolution = \"0.01 mm\"\n" + measure + "to = \"25 mm\"\nresolution = \"0.01 mm\"\n",
		"":                                  measure + "to = \"25 mm\"\nresolution = \"0.01 mm\"\n" + measure + "from = \"1 in\"\nto = \"2 in\"\nresolution = \"0.001 in\"\n" + measure + "from = \"25 mm\"\nto = \"30 mm\"\nresolution = \"0.01 mm\"\n",
	} {
		path := filepath.Join(t.TempDir(), "l.toml")
		if err := os.WriteFile(path, []byte("chuck_limit = \"900 rpm\"\n"+string(bench)+"\n"+tables), 0o644); err != nil {
			t.Fatal(err)
		}
		out := strings.Join(strings.Fields(call(t, exitDone, "lathe", "check", path)), " ")
		if !strings.Contains(out, want) || want == "" && strings.Contains(out, "no micrometer") || !strings.Contains(out, "good for 900 rpm, so no plan goes up to the spindle's 1250 rpm") {
			t.Errorf("want %q in\n%s", want, out)
		}
	}
}

// Whatever is typed, nothing breaks: an answer is taken or refused with a reason, and
// what is complete is a lathe file.
func TestLatheNewTakesAnything(t *testing.T) {
	const seed = 7
	dice := rand.New(rand.NewPCG(seed, 0xa11))
	bits := strings.Fields(`1 0 -1 2.5 7/16 1-1/8 / - . , ; = " \ ' [ ] { } # mm in thou turns threads teeth to by reach width carbide upside down radius sharp flat brake overrun at s ms rpm W hp
		M12x1.75 M8 G HSS right left none both yes no test MT2 A=1 A=1/0 =1 1e999 0x10 99999999999999999999 ± µm é 5turns 0-25 1..2 tpi 8tpi live dead in out`)
	complete := 0
	for n := range 15 {
		a := newAnswering(t)
		for tries := 0; a.key() != "" && tries < 400; tries++ {
			text := least[a.key()]
			if dice.IntN(3) > 0 {
				var words []string
				for range 1 + dice.IntN(5) {
					words = append(words, bits[dice.IntN(len(bits))])
				}
				text = strings.Join(words, []string{" ", ""}[dice.IntN(2)])
			}
			before := a.key()
			taken, said := a.tell(text)
			if !taken && said == "" {
				t.Fatalf("seed %d, dialogue %d: %s: %q is not taken, and nothing is said", seed, n, before, text)
			}
			if taken && a.d.answers.fault() != nil {
				t.Fatalf("seed %d, dialogue %d: %s: %q is taken: %v", seed, n, before, text, a.d.answers.fault())
			}
			if taken && dice.IntN(20) == 0 {
				if q, _, _ := a.d.next(); q != nil {
					a.d.back(q)
				}
			}
		}
		if a.key() != "" {
			continue
		}
		complete++
		if _, err := job.ParseLathe("l", a.d.answers.text(false)); err != nil {
			t.Fatalf("seed %d, dialogue %d: %v\n%v\n%s", seed, n, err, a.d.answers, a.d.answers.text(false))
		}
	}
	if complete < 3 {
		t.Errorf("only %d dialogues came to an end", complete)
	}
}
