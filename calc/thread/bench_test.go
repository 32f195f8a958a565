package thread_test

import (
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

// A full answer: parse, limits, depth, passes and wires. It costs what 400 to
// 650 plain table lookups cost (5 to 8.5 microseconds to 13 nanoseconds), in 50 to
// 100 small allocations, most of them for the text and the pass list.
func BenchmarkFullAnswer(b *testing.B) {
	for _, spec := range []string{"M10x1-6g", "3/8-24 UNF-2A", "G 1/4 A"} {
		b.Run(spec, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				th, err := thread.Parse(spec)
				if err != nil {
					b.Fatal(err)
				}
				tip, err := th.DesignTip()
				if err != nil {
					b.Fatal(err)
				}
				d, err := th.Depth(tip, 0)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := thread.Passes(thread.PassPlan{Total: d.Aim, First: 150 * calc.Micrometre, Smallest: 30 * calc.Micrometre, Graduation: 10 * calc.Micrometre, Spring: 1}); err != nil {
					b.Fatal(err)
				}
				if _, err := th.OverWires(th.BestWire()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// What a plain table lookup of three limits would cost, to compare with.
func BenchmarkTableLookup(b *testing.B) {
	table := map[string]thread.Limits{}
	for _, s := range designations {
		if th, err := thread.Parse(s); err == nil {
			l, err := th.Limits()
			if err != nil {
				b.Fatal(err)
			}
			table[s] = l
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		if l := table["M10x1-6g"]; l.Major.Max == 0 {
			b.Fatal("no M10x1")
		}
	}
}
