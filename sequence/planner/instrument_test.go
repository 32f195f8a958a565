package planner_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/planner"
)

// with plans a job of the tests on a lathe of the tests whose file has more: lines
// above its headings and tables at its end.
func with(t *testing.T, jobName, latheName, swap, top, tables string) (*sequence.Plan, *job.Job, *job.Lathe, error) {
	t.Helper()
	text := func(kind, name string) string {
		b, err := os.ReadFile(filepath.Join("../../testdata", kind, name+".toml"))
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	jobText := text("jobs", jobName)
	if old, new, ok := strings.Cut(swap, "=>"); ok {
		if !strings.Contains(jobText, old) {
			t.Fatalf("no %q in the job", old)
		}
		jobText = strings.Replace(jobText, old, new, 1)
	}
	l, err := job.ParseLathe("my.toml", top+"\n"+text("lathes", latheName)+"\n"+tables)
	if err != nil {
		t.Fatal(err)
	}
	j, err := job.ParseJob(jobName, jobText)
	if err != nil {
		t.Fatal(err)
	}
	p, err := planner.Plan(j, l, sequence.Readings{})
	return p, j, l, err
}

// measures is the headings of some measuring tools: "kind from to resolution" with
// a dash for what is left out.
func measures(lines ...string) string {
	var b strings.Builder
	for _, line := range lines {
		f := strings.Split(line, ",")
		b.WriteString("[[measure]]\nkind = \"" + f[0] + "\"\n")
		for _, kv := range f[1:] {
			k, v, _ := strings.Cut(kv, "=")
			b.WriteString(k + " = \"" + v + "\"\n")
		}
	}
	return b.String()
}

// equipped is what a well equipped shop has.
var equipped = []string{
	"micrometer,to=25 mm,resolution=0.001 mm", "micrometer,from=25 mm,to=50 mm,resolution=0.002 mm", "caliper,to=150 mm,resolution=0.02 mm",
	"depth gauge,to=150 mm,resolution=0.02 mm", "telescopic gauge,from=8 mm,to=50 mm", "dial indicator,resolution=0.002 mm", "rule,to=300 mm,resolution=0.5 mm",
	"ring gauge,thread=M12x1.75-6g", "thread wires,size=1 mm",
}

func instruments(p *sequence.Plan, id string) (with string, division calc.Length) {
	i := p.Index(id)
	if i < 0 {
		return "no such step", 0
	}
	for _, m := range p.Steps[i].Moves {
		switch m := m.(type) {
		case sequence.Inspect:
			with = m.With
		case sequence.Gauge:
			with = m.With
		}
	}
	if m := p.Steps[i].Measure; m != nil {
		division = m.Division
	}
	return with, division
}

// A plan names the instruments owned and reads to their steps; the steps are the same
// as without a list, and the bench passes them.
func TestPlanNamesTheInstrumentsOwned(t *testing.T) {
	for _, c := range []struct{ job, lathe, id, with, division string }{
		{"foot", "bench", "setup/true", "dial indicator", "0.002 mm"},
		{"foot", "bench", "s2/finish/size1", "micrometer 0 to 25 mm", "0.001 mm"},
		{"foot", "bench", "s2/finish/size2", "micrometer 0 to 25 mm", "0.001 mm"},
		{"foot", "bench", "s1/undercut/size", "caliper", "0.02 mm"},
		{"foot", "bench", "s1/shoulder/size1", "depth gauge", "0.02 mm"},
		{"foot", "bench", "s1/thread/scratch/check", "caliper", "0.1 mm"},
		{"foot", "bench", "s1/thread/gauge1", "ring gauge M12x1.75-6g", "0 mm"},
		{"foot", "bench", "part/size1", "caliper", "0.02 mm"},
		{"bush", "toolroom", "outside/finish/size2", "micrometer 25 to 50 mm", "0.002 mm"},
		{"bush", "toolroom", "bore1/finish/size2", "telescopic gauge 8 to 50 mm and micrometer 25 to 50 mm", "0.002 mm"},
		{"guide-bush", "toolroom", "body/finish/size2", "micrometer 0 to 25 mm", "0.001 mm"},
	} {
		p, j, l, err := with(t, c.job, c.lathe, "", "", measures(equipped...))
		if err != nil {
			t.Errorf("%s: %v", c.job, err)
			continue
		}
		if err := bench.Run(p, j, l).Err(); err != nil {
			t.Errorf("%s: %v", c.job, err)
		}
		plain, _, _, err := with(t, c.job, c.lathe, "", "", "")
		if err != nil {
			t.Fatal(err)
		}
		for i := range plain.Steps {
			if p.Steps[i].ID != plain.Steps[i].ID || p.Steps[i].Cue.Text() != plain.Steps[i].Cue.Text() {
				t.Errorf("%s: step %s is another where measuring tools are listed", c.job, p.Steps[i].ID)
			}
		}
		id := c.id
		if c.id == "part/size1" {
			for i := range p.Steps {
				if strings.HasSuffix(p.Steps[i].ID, "part/size1") {
					id = p.Steps[i].ID
				}
			}
		}
		if got, division := instruments(p, id); got != c.with || division.String() != c.division {
			t.Errorf("%s, %s: measured with %q read to %s, want %q read to %s", c.job, id, got, division, c.with, c.division)
		}
		if why := step(t, p, id).Why; !strings.HasPrefix(why, "With the "+c.with) {
			t.Errorf("%s, %s: why: %s", c.job, id, why)
		}
		if got := strings.Join(p.LayOut, "\n"); c.with != "caliper" && !strings.Contains(got, c.with) {
			t.Errorf("%s: %q is not laid out:\n%s", c.job, c.with, got)
		}
	}
}

// Wires owned give the reading over them. M12x1.75-6g: pitch diameter 10.679 to
// 10.829 (ISO 965-1), and over wires of 1 mm it is M = d2 - 0.86603 P + 3 W within
// the lead angle's micrometre: 12.163 to 12.313.
func TestThreadOverTheWiresOwned(t *testing.T) {
	p, _, _, err := with(t, "foot", "bench", "", "", measures(equipped...))
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(p.LayOut, "\n"); !strings.Contains(got, "thread wires 1 mm") {
		t.Errorf("laid out:\n%s", got)
	}
	why := step(t, p, "s1/thread/gauge1").Why
	_, after, ok := strings.Cut(why, "Over three wires of 1 mm the micrometer 0 to 25 mm reads ")
	low, high, ok2 := strings.Cut(strings.TrimSuffix(after, "."), " to ")
	if !ok || !ok2 {
		t.Fatalf("why: %s", why)
	}
	for i, s := range []string{low, high} {
		got, err := calc.ParseLength(s)
		if want := [2]calc.Length{12_163 * um, 12_313 * um}[i]; err != nil || (got-want).Abs() > 3*um {
			t.Errorf("over the wires %s, want %s: %v", s, want, err)
		}
	}
}

// What the instruments listed cannot measure is refused by name, with one that would
// do; what they just can is warned of.
func TestTolerancesAreMeasurable(t *testing.T) {
	micrometer := "micrometer,from=25 mm,to=50 mm,resolution=0.01 mm"
	small := "micrometer,to=25 mm,resolution=0.01 mm"
	caliper, gauge := "caliper,to=150 mm,resolution=0.02 mm", "telescopic gauge,from=20 mm,to=50 mm"
	for name, c := range map[string]struct {
		job, lathe string
		have       []string
		refused    []string // none: planned
		warned     string
	}{
		"a caliper for n6": {"bush", "toolroom", []string{caliper, gauge, small}, []string{
			"the diameter of 32", "has 0.016 mm between its limits, and the caliper is read to 0.02 mm", `[[measure]] kind = "micrometer" from = "25 mm" to = "50 mm" resolution = "0.002 mm"`}, ""},
		"hundredths for n6":   {"bush", "toolroom", []string{micrometer, small, caliper, gauge}, []string{"0.016 mm between its limits, and the micrometer 25 to 50 mm is read to 0.01 mm"}, ""},
		"nothing in the bore": {"bush", "toolroom", []string{"micrometer,from=25 mm,to=50 mm,resolution=0.001 mm", "rule,to=150 mm,resolution=0.5 mm"}, []string{"the bore of 25 mm needs a telescopic gauge or inside micrometer that reaches it, and none is listed", `kind = "telescopic gauge" from = "25 mm" to = "50 mm"`}, ""},
		"telescopic gauge, nothing to read it": {"bush", "toolroom", []string{"micrometer,from=30 mm,to=50 mm,resolution=0.001 mm", gauge, caliper}, []string{
			"the bore of 25 mm is taken with a telescopic gauge, and no micrometer listed reaches it", `kind = "micrometer" from = "25 mm" to = "50 mm"`}, ""},
		"no caliper for the groove": {"foot", "bench", []string{small, "depth gauge,to=150 mm,resolution=0.05 mm", "rule,to=150 mm,resolution=0.5 mm"}, []string{"the groove of 9.", "needs a caliper that reaches it", `[[measure]] kind = "caliper" to = "150 mm"`}, ""},
		"a short caliper":           {"foot", "bench", []string{small, "caliper,to=20 mm,resolution=0.02 mm"}, []string{"the length of s1 of 28 mm needs a depth gauge or caliper that reaches it"}, ""},
		"hundredths for h9":         {"foot", "bench", []string{small, caliper}, nil, "the diameter of 15.979 mm: 0.043 mm between its limits is little for a micrometer 0 to 25 mm read to 0.01 mm"},
		"no indicator":              {"foot", "bench", []string{"micrometer,to=25 mm,resolution=0.001 mm", caliper}, nil, "the run-out of the bar needs a dial indicator, and none is listed for the lathe"},
	} {
		p, _, _, err := with(t, c.job, c.lathe, "", "", measures(c.have...))
		switch {
		case len(c.refused) > 0 && err == nil:
			t.Errorf("%s: planned", name)
		case len(c.refused) > 0:
			for _, want := range c.refused {
				if !strings.Contains(err.Error(), want) {
					t.Errorf("%s: %q is not in\n%v", name, want, err)
				}
			}
		case err != nil:
			t.Errorf("%s: %v", name, err)
		case !strings.Contains(strings.Join(p.Warnings, "\n"), c.warned):
			t.Errorf("%s: warned of %q", name, p.Warnings)
		}
	}
}

// Between cuts a coarser instrument serves where the fine one does not reach yet.
func TestCoarserBetweenCuts(t *testing.T) {
	p, j, l, err := with(t, "foot", "bench", "", "", measures("micrometer,to=16 mm,resolution=0.005 mm", "caliper,to=150 mm,resolution=0.02 mm"))
	if err != nil {
		t.Fatal(err)
	}
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Error(err)
	}
	for id, want := range map[string]string{"s2/finish/size1": "caliper", "s2/finish/size2": "micrometer 0 to 16 mm"} {
		if got, _ := instruments(p, id); got != want {
			t.Errorf("%s with %s, want %s", id, got, want)
		}
	}
}

// A coarser instrument that reads a size between cuts inside its limits does not judge it:
// the finer one that reaches it now does.
func TestCoarserDoesNotJudge(t *testing.T) {
	bore := []string{"micrometer,to=50 mm,resolution=0.001 mm", "caliper,to=150 mm,resolution=0.05 mm", "telescopic gauge,from=24.9 mm,to=50 mm", "depth gauge,to=150 mm,resolution=0.02 mm", "dial indicator,resolution=0.002 mm"}
	for _, c := range []struct {
		job, lathe, first, with, then string
		tools                         []string
		read                          calc.Length
	}{
		{"bush", "toolroom", "bore1/finish/size1", "caliper", "telescopic gauge 24.9 to 50 mm and micrometer 0 to 50 mm", bore, 25 * mm},
		{"foot", "bench", "s2/finish/size1", "caliper", "micrometer 0 to 16 mm", []string{"micrometer,to=16 mm,resolution=0.005 mm", "caliper,to=150 mm,resolution=0.05 mm"}, 15990 * um},
	} {
		_, j, l, err := with(t, c.job, c.lathe, "", "", measures(c.tools...))
		if err != nil {
			t.Fatal(err)
		}
		p := plan(t, j, l, sequence.Readings{Lengths: map[string]calc.Length{c.first: c.read}})
		if err := sound(p, j, l); err != nil {
			t.Error(err)
		}
		if got, _ := instruments(p, c.first); got != c.with || step(t, p, c.first).Measure.Final {
			t.Errorf("%s with %s, final %t", c.first, got, step(t, p, c.first).Measure.Final)
		}
		next := strings.TrimSuffix(c.first, "1") + "2"
		if got, _ := instruments(p, next); got != c.then || !step(t, p, next).Measure.Final {
			t.Errorf("%s with %s, want %s", next, got, c.then)
		}
	}
}

// What does not go on the lathe is refused, and what must be sawn is said.
func TestCapacity(t *testing.T) {
	for name, c := range map[string]struct {
		job, lathe, swap, top, tables string
		refused, warned, layout       string
	}{
		"swing":       {"foot", "bench", "", `swing = "20 mm"`, "", "a bar of 22 mm does not turn over the bed: the swing is 20 mm", "", ""},
		"cross slide": {"foot", "bench", "", "swing = \"180 mm\"\nswing_over_slide = \"21 mm\"", "", "does not turn over the cross slide: the swing there is 21 mm", "", ""},
		"room enough": {"foot", "bench", "", "swing = \"180 mm\"\nswing_over_slide = \"100 mm\"\nspindle_bore = \"22 mm\"\nspindle_length = \"300 mm\"", "", "", "", "bar 22 mm, free-machining steel"},
		// 60 mm stick out and a diameter and a half, 33 mm, are held.
		"thicker than the spindle bore": {"foot", "bench", "", `spindle_bore = "20 mm"`, "", "", "a bar of 22 mm does not go through the spindle bore of 20 mm: saw a piece of 93 mm or a little more", "bar 22 mm, free-machining steel, sawn to 93 mm"},
		"and the chuck is known":        {"foot", "bench", "", "spindle_bore = \"20 mm\"\nchuck_depth = \"50 mm\"", "", "", "saw a piece of 93 mm at least and 110 mm at most", ""},
		"and it is too long":            {"foot", "bench", "stickout = \"60 mm\"=>stickout = \"60 mm\"\nbar_length = \"200 mm\"", "spindle_bore = \"20 mm\"\nchuck_depth = \"50 mm\"", "", "140 mm of 200 mm stand behind the front of the jaws, and the chuck takes 50 mm", "", ""},
		"and it is just right":          {"foot", "bench", "stickout = \"60 mm\"=>stickout = \"60 mm\"\nbar_length = \"105 mm\"", "spindle_bore = \"20 mm\"\nchuck_depth = \"50 mm\"", "", "", "", "bar 22 mm, free-machining steel, sawn to 105 mm"},
		"out of the back":               {"foot", "bench", "stickout = \"60 mm\"=>stickout = \"60 mm\"\nbar_length = \"500 mm\"", "spindle_bore = \"26 mm\"\nspindle_length = \"300 mm\"", "", "the bar stands 140 mm out of the back of the spindle, more than its diameter of 22 mm", "", ""},
		"a little out of the back":      {"foot", "bench", "stickout = \"60 mm\"=>stickout = \"60 mm\"\nbar_length = \"380 mm\"", "spindle_bore = \"26 mm\"\nspindle_length = \"300 mm\"", "", "", "the bar stands 20 mm out of the back of the spindle", ""},
		"held too short":                {"foot", "bench", "stickout = \"60 mm\"=>stickout = \"60 mm\"\nbar_length = \"75 mm\"", "", "", "15 mm of the bar stand in the jaws, and without a centre they should hold at least its diameter of 22 mm", "", ""},
		"held short for parting":        {"foot", "bench", "stickout = \"60 mm\"=>stickout = \"60 mm\"\nbar_length = \"85 mm\"", "", "", "", "25 mm of the bar stand in the jaws: for parting off 33 mm are better", ""},
		"a dead centre":                 {"slender-pin-centre", "bench", "", "", "[tailstock]\ncentre = \"dead\"\ntaper = \"MT2\"\n", "", "", "a dead tailstock centre, Morse taper 2, with grease"},
		"a sleeve not known":            {"bush", "toolroom", "", "", "", "", "", "bar 35 mm, bronze"},
	} {
		p, _, _, err := with(t, c.job, c.lathe, c.swap, c.top, c.tables)
		switch {
		case c.refused != "":
			if err == nil || !strings.Contains(err.Error(), c.refused) {
				t.Errorf("%s: %q is not refused: %v", name, c.refused, err)
			}
		case err != nil:
			t.Errorf("%s: %v", name, err)
		case !strings.Contains(strings.Join(p.Warnings, "\n"), c.warned):
			t.Errorf("%s: warned of %q", name, p.Warnings)
		case c.warned == "" && strings.Contains(strings.Join(p.Warnings, "\n"), "the bar"):
			t.Errorf("%s: warned of %q", name, p.Warnings)
		case !strings.Contains("\n"+strings.Join(p.LayOut, "\n")+"\n", "\n"+c.layout) && !strings.Contains(strings.Join(p.LayOut, "\n"), c.layout):
			t.Errorf("%s: laid out %q", name, p.LayOut)
		}
	}
}

// A hole deeper than the sleeve goes is refused at its bore, and a tool that cuts away
// from the chuck turns nothing here.
func TestSleeveAndHand(t *testing.T) {
	j, l := read(t, "bush", "toolroom")
	l.Capacity.Sleeve = 25 * mm
	if _, err := planner.Plan(j, l, sequence.Readings{}); err == nil || !strings.Contains(err.Error(), "of the tailstock sleeve, which goes 25 mm") {
		t.Errorf("%v", err)
	}
	j, l = read(t, "foot", "bench")
	l.Tools[0].Hand = job.HandLeft
	if _, err := planner.Plan(j, l, sequence.Readings{}); err == nil || !strings.Contains(err.Error(), "no right-hand turning tool is listed") {
		t.Errorf("%v", err)
	}
	l.Tools = append(l.Tools, job.Tool{Kind: job.KindTurning, Steel: "HSS", Hand: job.HandNeutral})
	p, err := planner.Plan(j, l, sequence.Readings{})
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range step(t, p, "face/tool").Moves {
		if m, ok := m.(sequence.Mount); ok && m.Hand != job.HandNeutral {
			t.Errorf("mounted %+v", m)
		}
	}
}

// A bore is measured with what reaches it at that cut, the micrometer that reads the gauge
// as well.
func TestBoreOnTheWayIsReached(t *testing.T) {
	tools := func(more string) string {
		return "\n[[measure]]\nkind = \"micrometer\"\nto = \"25 mm\"\nresolution = \"0.001 mm\"\n[[measure]]\nkind = \"micrometer\"\nfrom = \"25 mm\"\nto = \"50 mm\"\nresolution = \"0.001 mm\"\n" +
			"[[measure]]\nkind = \"caliper\"\nto = \"150 mm\"\nresolution = \"0.02 mm\"\n[[measure]]\nkind = \"depth gauge\"\nto = \"150 mm\"\nresolution = \"0.02 mm\"\n" +
			"[[measure]]\nkind = \"dial indicator\"\nresolution = \"0.002 mm\"\n[[measure]]\nkind = \"telescopic gauge\"\nfrom = \"8 mm\"\nto = \"50 mm\"\n" + more
	}
	for _, c := range []struct{ size, more, first, last string }{
		{"25.5 mm H7", "", "telescopic gauge 8 to 50 mm and micrometer 25 to 50 mm", "telescopic gauge 8 to 50 mm and micrometer 25 to 50 mm"},
		{"25.1 mm H7", "", "telescopic gauge 8 to 50 mm and micrometer 0 to 25 mm", "telescopic gauge 8 to 50 mm and micrometer 25 to 50 mm"},
		{"25 mm H7", "", "telescopic gauge 8 to 50 mm and micrometer 0 to 25 mm", "telescopic gauge 8 to 50 mm and micrometer 25 to 50 mm"},
		{"25 mm H7", "[[measure]]\nkind = \"inside micrometer\"\nfrom = \"25 mm\"\nto = \"50 mm\"\nresolution = \"0.005 mm\"\n", "telescopic gauge 8 to 50 mm and micrometer 0 to 25 mm", "inside micrometer 25 to 50 mm"},
	} {
		p, _, _, err := with(t, "bush", "toolroom", "25 mm H7=>"+c.size, "", tools(c.more))
		if err != nil {
			t.Fatal(err)
		}
		first, _ := instruments(p, "bore1/finish/size1")
		last, _ := instruments(p, "bore1/finish/size2")
		if first != c.first || last != c.last {
			t.Errorf("%s: %q at %s, then %q", c.size, first, step(t, p, "bore1/finish/size1").Measure.Nominal, last)
		}
	}
}

// Work too slender for a centre is told of the steady that is owned.
func TestSteadyIsNamed(t *testing.T) {
	_, _, _, err := with(t, "slender-pin-centre", "bench", "6 mm h9=>4 mm h9", `steady = ["travelling"]`, "")
	if err == nil || !strings.Contains(err.Error(), "the travelling steady listed") {
		t.Errorf("%v", err)
	}
	for steady, want := range map[string]bool{`steady = ["fixed"]`: true, "": false} {
		_, _, _, err := with(t, "slender-pin", "bench", "", steady, "")
		if err == nil || !strings.Contains(err.Error(), `support = "centre"`) || strings.Contains(err.Error(), "the fixed steady listed near its end") != want {
			t.Errorf("%q: %v", steady, err)
		}
	}
}

// The part turned round is not the bar: it is not told to be sawn from it again.
func TestSpindleBoreOfTheBarAlone(t *testing.T) {
	j, l := read(t, "flange", "toolroom")
	if j.Second == nil {
		t.Fatal("the flange has no second setting")
	}
	l.Capacity.SpindleBore = 5 * mm
	p := plan(t, j, l, sequence.Readings{})
	n := 0
	for _, w := range p.Warnings {
		if strings.Contains(w, "does not go through the spindle bore") {
			n++
		}
	}
	if n != 1 {
		t.Errorf("told %d times: %q", n, p.Warnings)
	}
}

// A telescopic gauge is made for bores from 8 mm (5/16 in); a smaller one is taken with a
// small-hole gauge, of which a set goes from 3 to 13 mm (common practice).
func TestSmallBoresAreMeasured(t *testing.T) {
	const reamer = "[[tool]]\nkind = \"reamer\"\nsize = \"6 mm\"\n[[tool]]\nkind = \"drill\"\nsize = \"5.8 mm\"\n"
	mic, caliper, scope := "micrometer,to=25 mm,resolution=0.001 mm", "caliper,to=150 mm,resolution=0.02 mm", "telescopic gauge,from=8 mm,to=50 mm"
	hole := "small-hole gauge,from=3 mm,to=13 mm"
	for _, c := range []struct {
		size    string
		have    []string
		with    string
		refused string
	}{
		{"6 mm H7", nil, "small-hole gauge and micrometer", ""},
		{"8 mm H7", nil, "telescopic gauge and micrometer", ""},
		{"6 mm H7", []string{mic, caliper, scope, hole}, "small-hole gauge 3 to 13 mm and micrometer 0 to 25 mm", ""},
		{"8 mm H7", []string{mic, caliper, scope, hole}, "telescopic gauge 8 to 50 mm and micrometer 0 to 25 mm", ""},
		{"8 mm H7", []string{mic, caliper, hole}, "small-hole gauge 3 to 13 mm and micrometer 0 to 25 mm", ""},
		{"6 mm H7", []string{mic, scope, "depth gauge,to=150 mm,resolution=0.02 mm", "rule,to=150 mm,resolution=0.1 mm"}, "", `the bore of 6 mm needs a small-hole gauge or inside micrometer that reaches it`},
	} {
		p, j, l, err := with(t, "guide-bush", "toolroom", "8 mm H7=>"+c.size, "", reamer+measures(c.have...))
		switch {
		case c.refused != "":
			if err == nil || !strings.Contains(err.Error(), c.refused) || !strings.Contains(err.Error(), `kind = "small-hole gauge" from = `) {
				t.Errorf("%s with %v: %v", c.size, c.have, err)
				break
			}
			_, hint, _ := strings.Cut(err.Error(), "my.toml: [[measure]] ")
			hint = strings.NewReplacer(" from", "\nfrom", " to", "\nto", " resolution", "\nresolution").Replace(hint)
			if _, err := job.ParseLathe("my.toml", latheText(t, "toolroom")+"\n[[measure]]\n"+hint+"\n"); err != nil {
				t.Errorf("what the hint says cannot be listed: %v", err)
			}
		case err != nil:
			t.Errorf("%s with %v: %v", c.size, c.have, err)
		default:
			if got, _ := instruments(p, "bore1/ream/size"); got != c.with {
				t.Errorf("%s is measured with a %s", c.size, got)
			}
			if err := bench.Run(p, j, l).Err(); err != nil {
				t.Error(err)
			}
		}
	}
}
