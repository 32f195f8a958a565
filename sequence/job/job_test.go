package job

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
	"turncue/calc/fit"
	"turncue/calc/gear"
	"turncue/calc/setup"
	"turncue/calc/thread"

	"golang.org/x/tools/txtar"
)

const (
	mm = calc.Millimetre
	um = calc.Micrometre
)

func read(t testing.TB, path string) string {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestExampleIsTheOneInTestdata(t *testing.T) {
	job, lathe := ExampleText()
	if job != read(t, "../../testdata/jobs/foot.toml") {
		t.Error("testdata/jobs/foot.toml and example/foot.job.toml differ")
	}
	if lathe != read(t, "../../testdata/lathes/bench.toml") {
		t.Error("testdata/lathes/bench.toml and example/bench.lathe.toml differ")
	}
	Example() // panics on a fault
}

// The levelling foot. Major diameter of M12x1.75-6g: ISO 965-1, 11.701 to 11.966.
// 16 h9: ISO 286-1, 0 to -43 micrometres. Lengths: ISO 2768-1 m. Undercut for a
// pitch of 1.75: DIN 76-1, diameter d - 2.6 h13, least width 3.9, greatest 6.1.
func TestFoot(t *testing.T) {
	j, _ := Example()
	if j.Part != "loom levelling foot" || j.Material.Name != "free-machining steel" || j.Unit != mm {
		t.Errorf("part %q of %q in unit %s", j.Part, j.Material.Name, j.Unit)
	}
	if j.Bar != 22*mm || j.StickOut != 60*mm || j.Face != 500*um || j.Centre || !j.PartOff || j.Tip != "" {
		t.Errorf("bar %s, stickout %s, face %s, centre %t, part off %t, tip %q", j.Bar, j.StickOut, j.Face, j.Centre, j.PartOff, j.Tip)
	}
	if len(j.Sections) != 2 || j.Total() != 36*mm {
		t.Fatalf("%d sections, %s long", len(j.Sections), j.Total())
	}
	a, b := j.Sections[0], j.Sections[1]
	if a.Thread == nil || a.Thread.String() != "M12x1.75-6g" || a.Diameter.Min != 11701*um || a.Diameter.Max != 11966*um {
		t.Errorf("thread %v turned to %+v", a.Thread, a.Diameter)
	}
	if a.Name != "s1" || a.Pos != (Pos{7, 3, 7}) || a.Chamfer != 1500*um || a.Length.Min != 27800*um || a.Length.Max != 28200*um || a.Length.Class != fit.Default {
		t.Errorf("section %+v", a)
	}
	u := a.Undercut
	if u == nil || u.Form != "regular" || u.Diameter.Max != 9400*um || u.Diameter.Min != 9180*um || u.Width.Min != 3900*um || u.Width.Max != 6100*um ||
		!strings.Contains(u.Source, "DIN 76-1") {
		t.Errorf("undercut %+v", u)
	}
	if b.Name != "s2" || b.Thread != nil || b.Undercut != nil || b.Diameter.Max != 16*mm || b.Diameter.Min != 15957*um || b.Diameter.Class != "h9" || b.Diameter.Source != "ISO 286-1" {
		t.Errorf("section %+v", b)
	}
}

func TestBenchLathe(t *testing.T) {
	_, l := Example()
	if l.Name != "bench lathe, 1.5 mm leadscrew" || l.Leadscrew != calc.PerTurn(1500*um) || l.Power != 750 || l.Reverse != ReverseMotor || l.Chuck != ChuckBolted {
		t.Errorf("%+v", l)
	}
	if !slices.Equal(l.Wheels, gear.Wheels{20, 20, 30, 35, 40, 40, 45, 50, 55, 57, 60, 60, 65, 80, 80}) || l.Banjo.Module != mm || l.Banjo.Clearance != 4*mm {
		t.Errorf("wheels %v, banjo %+v", l.Wheels, l.Banjo)
	}
	if l.Cross != (setup.Dial{Travel: 2 * mm, Divisions: 100, Slack: 150 * um}) || l.Top != (setup.Dial{Travel: mm, Divisions: 50, Slack: 100 * um}) {
		t.Errorf("cross %+v, top %+v", l.Cross, l.Top)
	}
	if l.Carriage == nil || *l.Carriage != (setup.Dial{Travel: 20 * mm, Divisions: 100}) || !l.CrossClockwiseIn || !l.TopClockwiseIn {
		t.Errorf("carriage %+v, clockwise %t %t", l.Carriage, l.CrossClockwiseIn, l.TopClockwiseIn)
	}
	r := calc.RPM
	if !slices.Equal(l.Speeds, cutting.Fixed(70*r, 115*r, 200*r, 320*r, 500*r, 800*r, 1250*r)) || l.ChuckLimit != 0 {
		t.Errorf("speeds %v, chuck limit %s", l.Speeds, l.ChuckLimit)
	}
	if l.Coast != (cutting.Coast{Turns: 0.8, At: 100 * r}) || l.Delay != 600*time.Millisecond || l.DepthOfCut != 500*um || !slices.Equal(l.PowerFeeds, []calc.Lead{calc.PerTurn(100 * um)}) {
		t.Errorf("%+v", l)
	}
	var kinds []string
	for _, tool := range l.Tools {
		kinds = append(kinds, tool.Kind)
	}
	if !slices.Equal(kinds, kindsOfTool[:6]) { // no drill, reamer or boring bar
		t.Errorf("tools %v", kinds)
	}
	if p := l.Tools[2]; p.Width != 2*mm || p.Reach != 12*mm || p.Steel != "HSS" {
		t.Errorf("parting tool %+v", p)
	}
}

// The threading tool of every lathe here can cut the threads it is meant for.
func TestTipsSuitTheThreads(t *testing.T) {
	for lathe, threads := range map[string][]string{
		"bench":  {"M12x1.75-6g", "M12x1-6g", "M10x1-6g"},
		"inch16": {"M8x1-6g", "M12x1.75-6g"},
		"micro":  {"M8x1-6g", "M10x1-6g"},
	} {
		l, err := ParseLathe(lathe, read(t, "../../testdata/lathes/"+lathe+".toml"))
		if err != nil {
			t.Fatal(err)
		}
		i := slices.IndexFunc(l.Tools, func(t Tool) bool { return t.Kind == KindThreading })
		tip, err := thread.ParseTip(l.Tools[i].Tip, calc.Lead{})
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range threads {
			th, err := thread.Parse(name)
			if err != nil {
				t.Fatal(err)
			}
			if _, err := th.Depth(tip, 0); err != nil {
				t.Errorf("%s: %v", lathe, err)
			}
		}
	}
}

func TestLathes(t *testing.T) {
	inch, err := ParseLathe("inch16.toml", read(t, "../../testdata/lathes/inch16.toml"))
	if err != nil {
		t.Fatal(err)
	}
	lead, _ := calc.PerInch(calc.Whole(16))
	// Half a mechanical horsepower is 372.85 W.
	if inch.Leadscrew != lead || inch.Cross.Travel != 100*calc.Thou || inch.Cross.Division() != calc.Thou || inch.Power != 373 || inch.Reverse != ReverseNone || inch.Carriage != nil {
		t.Errorf("%+v", inch)
	}
	micro, err := ParseLathe("micro.toml", read(t, "../../testdata/lathes/micro.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if !micro.Cross.OnDiameter || micro.Cross.Marked != 2*mm || micro.Cross.MarkedDivision() != 50*um || !slices.Equal(micro.Speeds, cutting.Between(100*calc.RPM, 2000*calc.RPM)) {
		t.Errorf("%+v", micro)
	}
}

func TestJobs(t *testing.T) {
	files, err := filepath.Glob("../../testdata/jobs/*.toml")
	if err != nil || len(files) < 8 {
		t.Fatalf("%d jobs, %v", len(files), err)
	}
	for _, f := range files {
		if filepath.Base(f) == "ten-faults.toml" {
			continue
		}
		if _, err := ParseJob(filepath.Base(f), read(t, f)); err != nil {
			t.Error(err)
		}
	}
}

// An inch job: 7/16 is 11.1125 mm, a limit written in inches is exact, and the
// last section stays as the bar.
func TestInchPin(t *testing.T) {
	j, err := ParseJob("inch-pin.toml", read(t, "../../testdata/jobs/inch-pin.toml"))
	if err != nil {
		t.Fatal(err)
	}
	if j.Unit != calc.Inch || j.Bar != 11112500 || j.StickOut != calc.Inch*15/8 {
		t.Errorf("unit %s, bar %s, stickout %s", j.Unit, j.Bar, j.StickOut)
	}
	b := j.Sections[1].Diameter
	if b.Max != 375*calc.Thou || b.Min != 373*calc.Thou {
		t.Errorf("diameter %s to %s", b.Min, b.Max)
	}
	if h := j.Sections[2]; !h.AsBar || h.Diameter.Nominal != j.Bar || h.Name != "head" {
		t.Errorf("head %+v", h)
	}
}

// Ten different mistakes in one file, among them three that are no TOML: each is
// told, with its place.
func TestTenFaults(t *testing.T) {
	_, err := ParseJob("ten-faults.toml", read(t, "../../testdata/jobs/ten-faults.toml"))
	var faults Faults
	if !errors.As(err, &faults) {
		t.Fatalf("got %v", err)
	}
	keys, at := map[string]bool{}, map[Pos]bool{}
	for _, f := range faults {
		keys[f.key], at[f.Pos] = true, true
		if f.Pos.Line == 0 {
			t.Errorf("no place: %s", f.Msg)
		}
	}
	if len(faults) != 10 || len(keys) != 10 || len(at) != 10 {
		t.Errorf("%d faults of %d kinds on %d places", len(faults), len(keys), len(at))
	}
	want := "../../testdata/jobs/ten-faults.errors.txt"
	got := faults.Error() + "\n"
	if *update {
		if err := os.WriteFile(want, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if w := read(t, want); got != w {
		t.Errorf("got\n%swant\n%s", got, w)
	}
}

func TestTextForms(t *testing.T) {
	job, lathe := ExampleText()
	want, _ := Example()
	for name, text := range map[string]string{
		"byte order mark":    "\uFEFF" + job,
		"CRLF":               strings.ReplaceAll(job, "\n", "\r\n"),
		"CR alone":           strings.ReplaceAll(job, "\n", "\r"),
		"no newline at end":  strings.TrimRight(job, "\n"),
		"no-break space":     strings.ReplaceAll(job, `"22 mm"`, "\"22\u00a0mm\""),
		"single quotes":      strings.ReplaceAll(job, `"`, `'`),
		"tabs and indents":   strings.ReplaceAll(job, "\nlength", "\n\tlength"),
		"dotted undercut":    strings.Replace(job, `undercut = "regular"`, "undercut.width = \"5 mm\"\nundercut.diameter = \"9.4 mm\"", 1),
		"undercut's heading": strings.Replace(job, "undercut = \"regular\"\nchamfer  = \"1.5 mm\"", "chamfer  = \"1.5 mm\"\n[section.undercut]\nwidth = \"5 mm\"\ndiameter = \"9.4 mm\"", 1),
	} {
		j, err := ParseJob("foot.job.toml", text)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if j.Bar != want.Bar || len(j.Sections) != 2 || j.Sections[0].Undercut == nil || j.Sections[0].Length != want.Sections[0].Length {
			t.Errorf("%s: read as %+v", name, j)
		}
		if (name == "byte order mark" || name == "CRLF") && j.Fingerprint() != want.Fingerprint() {
			t.Errorf("%s changes the fingerprint", name)
		}
	}
	if _, err := ParseLathe("l", strings.ReplaceAll(lathe, ", 80]", ",\n  80, # the largest\n]")); err != nil {
		t.Errorf("list over several lines: %v", err)
	}
	table := `part = "a"
material = "brass"
bar = "20 mm"
stickout = "40 mm"
section = [{ diameter = "16 mm", length = "8 mm" }, { as_bar = true, length = "4 mm" }]
`
	if j, err := ParseJob("l", table); err != nil || len(j.Sections) != 2 {
		t.Errorf("sections in a list: %v", err)
	}
}

// sha256sum of three bytes "abc", FIPS 180-4 example.
func TestFingerprint(t *testing.T) {
	j := Job{Source: Source{Text: "abc"}}
	if got := j.Fingerprint(); got != "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad" {
		t.Errorf("fingerprint %s", got)
	}
}

// The nearest known word, for the slips people make.
func TestNearest(t *testing.T) {
	keys := keysOf(jobFields)
	for word, want := range map[string]string{
		"materal": "material", "Part": "part", "stick_out": "stickout", "suport": "support", "untis": "units", "fase": "face", "sections": "section",
		"partoff": "part_off", "mat": "material", "colour": "", "xyzzy": "", "": "",
	} {
		if got := Nearest(word, keys); got != want {
			t.Errorf("nearest to %q is %q, want %q", word, got, want)
		}
	}
}

var remedy = regexp.MustCompile(`^write (([a-z_]+) = ("[^"]*"|true|false|\{[^}]*\}|\[[^\]]*\]|[0-9.]+))`)

// What a hint says to write is taken at its word: put in place of the faulty line
// it must make that fault go away, and no hint may lead to the same one again.
func TestRemedies(t *testing.T) {
	files, err := filepath.Glob(gallery + "/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	tried := 0
	for _, file := range files {
		ar, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		kind, text := "", ""
		for _, f := range ar.Files {
			if m := pieceName.FindStringSubmatch(f.Name); m != nil {
				kind = m[1]
				text += piece(t, m, f.Data)
				continue
			}
			var faults Faults
			errors.As(parse(kind, text), &faults)
			for _, fault := range faults {
				m := remedy.FindStringSubmatch(fault.Hint)
				if m == nil || fault.Pos.Line == 0 {
					continue
				}
				tried++
				lines := strings.Split(fault.Source.Text, "\n")
				at := fault.Pos.Line - 1
				switch {
				case strings.HasPrefix(lines[at], "["): // something is missing below a heading
					lines[at] += "\n" + m[1]
				case strings.HasPrefix(strings.TrimSpace(lines[at]), m[2]):
					lines[at] = m[1]
				case strings.Contains(fault.Source.Text, "\n"+m[2]+" ="):
					continue
				default:
					lines[at] += "\n" + m[1]
				}
				var left Faults
				errors.As(parse(kind, strings.Join(lines, "\n")), &left)
				for _, l := range left {
					if l.key == fault.key && l.Pos.Line == fault.Pos.Line {
						t.Errorf("%s: the remedy %q leaves\n%s", file, m[1], l)
					}
				}
			}
			text = ""
		}
	}
	if tried < 30 {
		t.Errorf("only %d remedies tried", tried)
	}
}

// A line that cannot be read hides no other: each line of a sound job is spoilt in
// turn, and the same fault elsewhere is still told.
func TestASpoiltLineHidesNothing(t *testing.T) {
	job, _ := ExampleText()
	job = strings.Replace(job, "h9", "H9", 1)
	lines := strings.Split(job, "\n")
	for i, line := range lines {
		if !strings.Contains(line, "=") || strings.Contains(line, "H9") {
			continue
		}
		for _, spoil := range []func(string) string{
			func(s string) string { return strings.Replace(s, `"`, "", 1) },
			func(s string) string { return strings.ReplaceAll(s, `"`, "") },
			func(s string) string { return strings.Replace(s, "=", "", 1) },
			func(s string) string { return s[:strings.Index(s, "=")+1] },
			func(s string) string { return s[:len(s)-1] },
			func(s string) string { return s + " ?" },
		} {
			bad := slices.Clone(lines)
			bad[i] = spoil(line)
			var faults Faults
			errors.As(parse("job", strings.Join(bad, "\n")), &faults)
			var hole, here bool
			for _, f := range faults {
				hole = hole || f.key == "hole-zone"
				here = here || f.Pos.Line == i+1
				if f.key == "missing" {
					t.Errorf("line %q: %s", bad[i], f)
				}
			}
			if !hole || !here {
				t.Errorf("line %q: hole told %t, the line itself %t:\n%v", bad[i], hole, here, faults)
			}
		}
	}
}

func TestFaultShowsItsPlace(t *testing.T) {
	src := Source{Path: "p.toml", Text: "\tbar = \"22\"\n" + strings.Repeat("x", 300) + "\n"}
	for _, c := range []struct {
		pos  Pos
		want string
	}{
		{Pos{}, "p.toml: wrong\nhint: mend it"},
		{Pos{1, 8, 4}, "p.toml:1:8: wrong\n    \tbar = \"22\"\n    \t      ^^^^\nhint: mend it"},
		{Pos{1, 12, 9}, "p.toml:1:12: wrong\n    \tbar = \"22\"\n    \t          ^\nhint: mend it"},
		{Pos{9, 1, 1}, "p.toml:9:1: wrong\nhint: mend it"},
		{Pos{2, 200, 5}, "p.toml:2:200: wrong\n    " + strings.Repeat("x", 120) + "\n    " + strings.Repeat(" ", 30) + "^^^^^\nhint: mend it"},
	} {
		f := Fault{Source: src, Pos: c.pos, Msg: "wrong", Hint: "mend it"}
		if got := f.Error(); got != c.want {
			t.Errorf("%v: got\n%s\nwant\n%s", c.pos, got, c.want)
		}
	}
}

// The tooth counts a hint names are those that can be searched.
func TestToothLimits(t *testing.T) {
	for z, ok := range map[int]bool{7: false, 8: true, 300: true, 301: false} {
		if (gear.Wheels{z, z}.Check() == nil) != ok {
			t.Errorf("%d teeth: want accepted %t", z, ok)
		}
	}
}

// Every undercut of DIN 76-1 in the table is deep enough for its thread here, and
// what the hint offers where there is none can be made.
func TestUndercuts(t *testing.T) {
	for _, name := range []string{"M3x0.5", "M4x0.7", "M5x0.8", "M6x1", "M8x1", "M8x1.25", "M10x1", "M10x1.5", "M12x1", "M12x1.75", "M16x2", "M20x2.5", "M24x3", "M30x3.5", "M36x4"} {
		th, err := thread.Parse(name)
		if err != nil {
			t.Fatal(err)
		}
		lim, err := th.Limits()
		if err != nil {
			t.Fatal(err)
		}
		u, err := standardUndercut(th, thread.Regular)
		if err != nil {
			t.Fatal(err)
		}
		if u.Diameter.Max > lim.Minor.Min {
			t.Errorf("%s: undercut %s is not below the lowest root %s", name, u.Diameter.Max, lim.Minor.Min)
		}
	}
}

// What may be left out, and what is then meant.
func TestDefaults(t *testing.T) {
	head := "part = \"a\"\nmaterial = \"brass\"\nstickout = \"60 mm\"\n"
	for _, c := range []struct {
		lines string
		want  func(*Job) bool
	}{
		{"bar = \"20 mm\"", func(j *Job) bool {
			return j.Unit == mm && j.Face == 500*um && !j.Centre && j.PartOff && j.Sections[0].Name == "s1" && !j.Sections[0].AsBar
		}},
		{"bar = \"3/4 in\"", func(j *Job) bool { return j.Unit == calc.Inch && j.Bar == 19050*um }},
		{"bar = \"3/4 in\"\nunits = \"mm\"", func(j *Job) bool { return j.Unit == mm }},
		{"bar = \"20 mm\"\nunits = \"in\"", func(j *Job) bool { return j.Unit == calc.Inch }},
		{"bar = \"750 thou\"\nface = \"0.02 in\"", func(j *Job) bool { return j.Unit == calc.Inch && j.Face == 20*calc.Thou }},
		{"bar = \"20 mm\"\nsupport = \"centre\"\npart_off = false", func(j *Job) bool { return j.Centre && !j.PartOff }},
	} {
		j, err := ParseJob("d.toml", head+c.lines+"\n[[section]]\ndiameter = \"16 mm\"\nlength = \"20 mm\"\nas_bar = false\n")
		if err != nil || !c.want(j) {
			t.Errorf("%s: read as %+v, %v", c.lines, j, err)
		}
	}
	_, lathe := ExampleText()
	l, err := ParseLathe("d.toml", strings.NewReplacer(`slack     = "0.15 mm"`, `slack = "0 mm"`, `"750 W"`, `"0.75 kW"`, "turns = 0.8\nat    = \"100 rpm\"", `time = "400 ms"`,
		"[70, 115,", `["70 rpm", "115",`, "[carriage]", "[carriage]\nclockwise = \"out\"", "[top_slide]", "[top_slide]\nclockwise = \"out\"").Replace(lathe))
	if err != nil {
		t.Fatal(err)
	}
	if l.Cross.Slack != 0 || l.Power != 750 || l.Coast != (cutting.Coast{Time: 400 * time.Millisecond}) || l.Speeds[1].Min != 115*calc.RPM || l.TopClockwiseIn || !l.CrossClockwiseIn {
		t.Errorf("read as %+v", l)
	}
}

// The blade a bar is parted with: an HSS blade of 1.5 mm serves to 12 mm, 2 mm to
// 25, 3 mm beyond (common practice).
func TestBlade(t *testing.T) {
	for d, want := range map[calc.Length]calc.Length{6 * mm: 1500 * um, 12 * mm: 1500 * um, 12*mm + calc.Nanometre: 2 * mm, 25 * mm: 2 * mm, 40 * mm: 3 * mm} {
		if got := Blade(d); got != want {
			t.Errorf("%s bar: blade %s, want %s", d, got, want)
		}
	}
}

func BenchmarkParseJob(b *testing.B) {
	job, _ := ExampleText()
	for b.Loop() {
		if _, err := ParseJob("foot.job.toml", job); err != nil {
			b.Fatal(err)
		}
	}
}

// Everything a lathe can say of its gears, its motor and its shop is there when it
// was written, and what was left out has its stated default.
func inFullCapacity(t *testing.T, l *Lathe) {
	t.Helper()
	c := l.Capacity
	if c.Swing != 9*calc.Inch || c.SwingOverSlide != 130*mm || c.SpindleBore != 26*mm || c.SpindleLength != 420*mm || c.ChuckDepth != 60*mm ||
		!slices.Equal(c.Steadies, []string{"travelling", "fixed"}) || c.Sleeve != 65*mm || c.Taper != "2" || c.Centre != "dead" {
		t.Errorf("capacity %+v", c)
	}
	if l.Tailstock == nil || l.Tailstock.Travel != 4*mm || l.Tailstock.Divisions != 80 {
		t.Errorf("tailstock %+v", l.Tailstock)
	}
}

func inFullTools(t *testing.T, l *Lathe) {
	t.Helper()
	n := len(l.Tools)
	if l.Tools[0].Hand != "right" || l.Tools[n-2].Hand != "left" || !l.Tools[n-1].UpsideDown || l.Tools[n-1].Hand != "" {
		t.Errorf("tools %+v", l.Tools)
	}
	for _, c := range []struct {
		size  calc.Length
		kinds []string
		want  int // of the measuring tools; -1: none
	}{
		{20 * mm, []string{"micrometer", "caliper"}, 0},
		{calc.Inch, []string{"micrometer", "caliper"}, 1},
		{40 * mm, []string{"micrometer", "caliper"}, 1},
		{51 * mm, []string{"micrometer", "caliper"}, 2},
		{151 * mm, []string{"micrometer", "caliper"}, -1},
		{20 * mm, []string{"depth gauge"}, -1},
	} {
		got := l.Finest(c.size, c.kinds...)
		if c.want < 0 && got != nil || c.want >= 0 && got != &l.Measures[c.want] {
			t.Errorf("the finest of %v for %s is %+v", c.kinds, c.size, got)
		}
	}
	for text, want := range map[string]bool{"M12x1.75-6g": true, "M12x1.75-6h": true, "M12x1.75": true, "M12x1.5": false, "M12x1.75 LH": false, "M10": false} {
		th, err := thread.Parse(text)
		if err != nil {
			t.Fatal(err)
		}
		for _, kind := range []string{KindRingGauge, KindPlugGauge} {
			if got := l.ThreadGauge(kind, &th); (got != nil) != want || want && (got.Kind != kind || got.Thread.External != (kind == KindRingGauge)) {
				t.Errorf("a %s for %s: %+v", kind, text, got)
			}
		}
	}
}

func TestLatheInFull(t *testing.T) {
	const more = `
fixed = "1/2"
levers = { A = "1", B = "1/2", C = 2 }
tumbler = false
mounted = "20-60"
base_speed = "900 rpm"
swing = "9 in"
swing_over_slide = "130 mm"
spindle_bore = "26 mm"
spindle_length = "420 mm"
chuck_depth = "60 mm"
steady = ["travelling", "fixed"]
`
	const tables = `
[tailstock]
travel = "4 mm"
divisions = 80
sleeve = "65 mm"
taper = "MT2"
centre = "dead"

[banjo]
module = "1 mm"
clearance = "4 mm"
studs = 2
span = "120 mm"
near = "30 mm"
far = "95 mm"
swing_from = "20 deg"
swing_to = "110 deg"
first_radius = "10 mm"
stud_radius = "8 mm"
last_radius = "11 mm"
cover = "110 mm"
step_up = 2.5

[thread_dial]
wheel = 16
lines = 8

[[material]]
name = "axle steel"
like = "medium-carbon steel"
turn = "100 ft/min"
drill = "11 m/min"
feed = "0.07 mm"
kc = "2500 N/mm2"
mc = 0.2
source = "trial cuts"

[[tool]]
kind = "turning"

[[tool]]
kind = "turning"
hand = "left"

[[tool]]
kind = "threading"
tip = "sharp"
upside_down = true

[[measure]]
kind = "micrometer"
to = "25 mm"
resolution = "0.01 mm"

[[measure]]
kind = "micrometer"
from = "1 in"
to = "2 in"
resolution = "0.0001 in"

[[measure]]
kind = "caliper"
to = "150 mm"
resolution = "0.02 mm"

[[measure]]
kind = "thread wires"
size = "1 mm"

[[measure]]
kind = "plug gauge"
thread = "M12x1.75"

[[measure]]
kind = "ring gauge"
thread = "M12x1.75-6g"

[[measure]]
kind = "pitch gauge"
`
	_, plainText := ExampleText()
	head, rest, ok := strings.Cut(plainText, "[banjo]")
	_, rest, ok2 := strings.Cut(rest, "[cross_slide]")
	if !ok || !ok2 {
		t.Fatal("the example's lathe has no banjo before its slides")
	}
	l, err := ParseLathe("l", head+more+"\n[cross_slide]"+rest+tables)
	if err != nil {
		t.Fatal(err)
	}
	mm := calc.Millimetre
	want := gear.Banjo{
		Module: mm, Clearance: 4 * mm, Studs: 2, Span: 120 * mm, Near: 30 * mm, Far: 95 * mm, SwingFrom: 20 * calc.Degree, SwingTo: 110 * calc.Degree,
		First: 10 * mm, Stud: 8 * mm, Last: 11 * mm, Cover: 110 * mm, StepUpLimit: 2.5,
	}
	g := l.Gearing()
	if l.Banjo != want || g.Banjo != want || g.Tumbler || g.Fixed.String() != "1/2" || len(g.Levers) != 3 || g.Levers[1].Name != "B" || g.Levers[2].Ratio != calc.Whole(2) || g.Present.String() != "20-60" {
		t.Errorf("%+v", g)
	}
	if l.Dial == nil || *l.Dial != (gear.ThreadDial{Wheel: 16, Lines: 8}) || l.BaseSpeed != 900*calc.RPM {
		t.Errorf("dial %v, base %s", l.Dial, l.BaseSpeed)
	}
	inFullCapacity(t, l)
	inFullTools(t, l)
	if d := l.Drive(); d.Base != 900*calc.RPM || d.At(450*calc.RPM) != d.Power/2 || d.Power != cutting.Induction*cutting.Power(l.Power) {
		t.Errorf("drive %+v", d)
	}
	m, err := l.Material("Axle steel")
	if err != nil || m.Force != (cutting.Kienzle{KC: 2500, MC: 0.2}) || m.ForceFrom != "trial cuts" || m.Feeds[cutting.Turn] != 70*calc.Micrometre ||
		m.Speeds[cutting.Turn] != 100*calc.FootPerMinute || m.Speeds[cutting.Drill] != 11*calc.MetrePerMinute {
		t.Errorf("%+v, %v", m, err)
	}
	if m, err := l.Material("brass"); err != nil || m.ID != "brass" {
		t.Errorf("%+v, %v", m, err)
	}
	if _, err := l.Material("axel steel"); err == nil || !strings.Contains(err.Error(), "nearest are axle steel") {
		t.Errorf("%v", err)
	}
	plain, err := ParseLathe("l", plainText)
	if err != nil {
		t.Fatal(err)
	}
	if !plain.Tumbler || plain.Dial != nil || plain.Fixed.Sign() != 0 || plain.BaseSpeed != 0 || len(plain.Materials)+len(plain.Levers)+len(plain.Mounted.Drivers) != 0 {
		t.Errorf("%+v", plain)
	}
	if _, err := (*Lathe)(nil).Material("brass"); err != nil {
		t.Error(err)
	}
}

// A job may be made of a material that only its lathe's file has.
func TestJobOfOwnMaterial(t *testing.T) {
	plainJob, plainLathe := ExampleText()
	text := strings.Replace(plainJob, `"free-machining steel"`, `"axle steel"`, 1)
	if text == plainJob {
		t.Fatal("the example is of another steel")
	}
	lathe := plainLathe + "\n[[material]]\nname = \"axle steel\"\nlike = \"medium-carbon steel\"\n"
	if _, err := ParseJob("j", text); err == nil {
		t.Error("a material that nobody has")
	}
	j, l, err := ParsePair("j", text, "l", lathe)
	if err != nil || j.Material.Name != "axle steel" || len(l.Materials) != 1 {
		t.Errorf("%v", err)
	}
	if _, _, err := ParsePair("j", text, "l", plainLathe+"\nnonsense"); err == nil || !strings.Contains(err.Error(), "axle steel") || !strings.Contains(err.Error(), "l:") {
		t.Errorf("not the faults of both: %v", err)
	}
	if got := LatheOf("lathe = \"../x.toml\"\n" + text); got != "../x.toml" {
		t.Errorf("lathe %q", got)
	}
	for _, s := range []string{text, "", "lathe = 5", "lathe =", "\x00"} {
		if got := LatheOf(s); got != "" {
			t.Errorf("%q names %q", s, got)
		}
	}
}

// A way of threading may be asked for where the only thread is cut in a bore.
func TestThreadingOfAnInsideThread(t *testing.T) {
	const text = "part = \"nut\"\nmaterial = \"bronze\"\nbar = \"35 mm\"\nstickout = \"60 mm\"\nthreading = \"crank\"\n\n[[section]]\ndiameter = \"32 mm\"\nlength = \"20 mm\"\n\n[[bore]]\nthread = \"%s\"\nthrough = true\n"
	if _, err := ParseJob("nut.toml", fmt.Sprintf(text, "M20x1.5")); err != nil {
		t.Error(err)
	}
	if _, err := ParseJob("nut.toml", fmt.Sprintf(text, "M6")); err == nil || !strings.Contains(err.Error(), "threading is given") {
		t.Errorf("tapped by hand: %v", err)
	}
}

// A tapped hole in the end of a cone has to leave a wall there: it is a fault with its place.
func TestTappedHoleInTheEndOfACone(t *testing.T) {
	const text = "part = \"peg\"\nmaterial = \"brass\"\nbar = \"23 mm\"\nstickout = \"40 mm\"\n\n[[section]]\ndiameter = \"13.5 mm\"\nsmall = \"%s\"\nlength = \"14 mm\"\n\n[[section]]\ndiameter = \"20 mm\"\nlength = \"12 mm\"\n\n[[bore]]\nthread = \"M10\"\ndepth = \"9 mm\"\n"
	for _, small := range []string{"9.75 mm", "8 mm", "10.5 mm"} {
		if _, err := ParseJob("peg.toml", fmt.Sprintf(text, small)); err == nil || !strings.Contains(err.Error(), "peg.toml:16:") {
			t.Errorf("small end of %s: %v", small, err)
		}
	}
	if _, err := ParseJob("peg.toml", fmt.Sprintf(text, "13 mm")); err != nil {
		t.Error(err)
	}
}
