package planner_test

import (
	"fmt"
	"strings"
	"testing"

	"turncue/sequence"
)

// drawHub draws a part with bores from both ends and a lathe that has what most need.
func drawHub(seed uint64) drawn {
	d := throw(seed ^ 1<<56)
	return drawn{lathe: d.hubLathe(), job: d.hubJob()}
}

func (d dice) hubLathe() string {
	text := d.boringLathe()
	for _, mm := range []float64{2.5, 5, 7, 8, 9, 10, 11, 12, 13, 15, 16, 17} {
		text += fmt.Sprintf("\n[[tool]]\nkind = \"drill\"\nsize = \"%g mm\"\n", mm)
	}
	for _, mm := range []float64{4, 8, 12} {
		text += fmt.Sprintf("\n[[tool]]\nkind = \"boring bar\"\nsize = \"%g mm\"\n", mm)
	}
	return text
}

func (d dice) hubJob() string {
	var b strings.Builder
	flange := d.between(24, 38, 1)
	nave := flange - d.between(3, 8, 1)
	held, long := d.between(13, 20, 1), d.between(8, 16, 1)
	total := held + long
	fmt.Fprintf(&b, "part = \"drawn\"\nmaterial = %q\nbar = \"%g mm\"\nstickout = \"%g mm\"\npart_off = %v\n",
		one(d, "mild steel", "brass", "bronze", "free-machining steel", "aluminium"), flange+d.between(1, 3, 0.5), total+d.between(14, 22, 1), d.in(2))
	fmt.Fprintf(&b, "\n[[section]]\nname = \"nave\"\ndiameter = \"%g mm %s\"\nlength = \"%g mm\"\n", nave, one(d, "h9", "h11", ""), held)
	fmt.Fprintf(&b, "\n[[section]]\nname = \"flange\"\ndiameter = \"%g mm\"\nlength = \"%g mm\"\n", flange, long)
	fit := func() string { return one(d, " H7", " H8", " H9", " H11", " ±0.1 mm", "") }
	wide := func() string { return one(d, "", "", " ±0.1 mm", " H11", " H8") }
	first := d.IntN(4) // nothing, blind, through, a step and through
	hole, deep := 0.0, 0.0
	switch first {
	case 1:
		hole, deep = d.between(8, nave-8, 1), d.between(5, total*0.6, 1)
		fmt.Fprintf(&b, "\n[[bore]]\ndiameter = \"%g mm%s\"\ndepth = \"%g mm\"\n", hole, fit(), deep)
	case 2, 3:
		hole = d.between(6, max(6, nave-12), 1)
		if first == 3 {
			deep = d.between(4, held/2, 1)
			fmt.Fprintf(&b, "\n[[bore]]\ndiameter = \"%g mm%s\"\ndepth = \"%g mm\"\n", hole+d.between(2, 6, 1), fit(), deep)
		}
		fmt.Fprintf(&b, "\n[[bore]]\ndiameter = \"%g mm%s\"\nthrough = true\n", hole, wide())
	}
	fmt.Fprintf(&b, "\n[second]\nheld = \"nave\"\nby = %q\n", one(d, "soft jaws", "four-jaw chuck", "three-jaw chuck"))
	if first >= 2 && d.in(3) {
		fmt.Fprintf(&b, "bore_chamfer = \"%g mm\"\n", one(d, 0.5, 1))
		return b.String()
	}
	outside := flange
	if long > 12 && d.in(3) {
		outside = flange - d.between(2, 5, 1)
		fmt.Fprintf(&b, "\n[[second.section]]\nname = \"spigot\"\ndiameter = \"%g mm h9\"\nlength = \"%g mm\"\n", outside, d.between(6, long-4, 1))
	}
	size := outside - d.between(4, 10, 1)
	depth := d.between(2, max(2.5, (total-deep)*0.4), 0.5)
	if d.in(2) || first == 0 || first >= 2 {
		fmt.Fprintf(&b, "\n[[second.bore]]\ndiameter = \"%g mm%s\"\ndepth = \"%g mm%s\"\n", size, fit(), depth, one(d, "", " ±0.1 mm"))
		if depth > 6 && d.in(2) {
			b.WriteString("chamfer = \"0.5 mm\"\n")
		}
		if d.in(2) {
			return b.String()
		}
		size -= d.between(2, 6, 1)
		depth += d.between(1, 6, 0.5)
	}
	if size = min(size, max(4, hole-2)); first >= 2 {
		size = hole + d.between(1, 3, 1)
	}
	fmt.Fprintf(&b, "\n[[second.bore]]\ndiameter = \"%g mm%s\"\n", size, fit())
	if first == 1 && !d.in(4) {
		b.WriteString("through = true\n")
	} else {
		fmt.Fprintf(&b, "depth = \"%g mm\"\n", depth)
	}
	return b.String()
}

// Random parts with bores from both ends: each is refused with its place and a remedy, or
// every plan of it, from the first to the last answer, passes the bench.
func TestRandomHubs(t *testing.T) {
	n, c := eachDrawn(t, 300, 5_000, drawHub, func(seed uint64) (refused string, has []string, answers int, err error) {
		refused, p, answers, err := tryHub(seed)
		if err != nil || refused != "" {
			return refused, nil, answers, err
		}
		for kind, id := range map[string]string{
			"drilled": "second/far-bore1/drill1/peck1", "bored": "second/far-bore1/finish/pass1/cut", "a step and behind it": "second/far-bore2/finish/pass1/cut",
			"an edge": "second/far-bore1/chamfer/cut", "to a depth": "second/far-bore1/depth/cut",
		} {
			if p.Index(id) >= 0 {
				has = append(has, kind)
			}
		}
		return "", has, answers, nil
	})
	if c.ample && (c.planned*6 < int(n) || len(c.having) < 5) {
		t.Errorf("of %d hubs only %d were planned, with %v", n, c.planned, c.having)
	}
}

func tryHub(seed uint64) (refused string, p *sequence.Plan, answers int, err error) {
	return answered(drawHub(seed), seed, 1<<40)
}

// Hubs that went wrong once: bores faced off anew more than once, and a bore only a
// millimetre behind the step in front of it.
func TestHubSeedsFoundOnce(t *testing.T) {
	for _, seed := range []uint64{1535, 2151, 2257, 3085} {
		if _, _, _, err := tryHub(seed); err != nil {
			t.Errorf("seed %d: %v", seed, err)
		}
	}
}
