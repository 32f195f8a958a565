package job

import (
	"slices"
	"strings"
	"testing"
)

// Every key a lathe may do without is told of, and only those: a lathe without any of
// them is taken, and one without any other is not.
func TestLeftOut(t *testing.T) {
	const least = `name = "bare"
leadscrew = "1.5 mm"
wheels = [20, 40]
speeds = [100]
motor = "500 W"
reverse = "none"
chuck = "screwed"
[cross_slide]
travel = "2 mm"
divisions = 100
[top_slide]
travel = "1 mm"
divisions = 50
[coast]
time = "0.5 s"
[[tool]]
kind = "turning"
hand = "left"
`
	l, err := ParseLathe("l", least)
	if err != nil {
		t.Fatal(err)
	}
	var keys []string
	for _, f := range LeftOut(least) {
		keys = append(keys, f.Key)
	}
	for _, f := range latheFields {
		needed := strings.Contains("\n"+least, "\n"+f.key+" =") || strings.Contains(least, "["+f.key+"]")
		if slices.Contains(keys, f.key) == needed {
			t.Errorf("%s: needed %v: a key that may be left out has a row in lefts, with what is taken instead, and no other has", f.key, needed)
		}
	}
	if got := LeftOut("delay = \"0.4 s\"\n[banjo]\nmodule = \"1 mm\"\n[[measure]]\nkind = \"pitch gauge\"\n" + least); len(got) != len(keys)-3 {
		t.Errorf("%d of %d left out", len(got), len(keys))
	}
	lacks := func() (out []string) {
		for _, w := range l.Lacking() {
			out = append(out, w.Kind)
		}
		return out
	}
	if got := lacks(); !slices.Equal(got, kindsOfToolInOrder) {
		t.Errorf("lacks %v", got)
	}
	l.Tools[0].Hand = HandRight
	l.Measures = []Instrument{{Kind: KindCaliper}}
	got := lacks()
	if slices.Contains(got, KindTurning) || slices.Contains(got, KindCaliper) || !slices.Contains(got, KindMicrometer) || !slices.Contains(got, "telescopic gauge or inside micrometer") {
		t.Errorf("lacks %v", got)
	}
}

var kindsOfToolInOrder = []string{KindTurning, KindChamfer, KindRounding, KindGrooving, KindParting, KindThreading, KindCentreDrill, KindDrill, KindReamer, KindBoringBar, KindTap, KindInsideThreading, KindInsideGrooving, KindKnurling}
