package thread_test

import (
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

// Best wires, readings with and without lead angle and 6g bands of metric
// threads; printed to 0.0001 mm, the bands to 0.001.
func TestMetricWiresTable(t *testing.T) {
	c := comparison{t: t, name: "wires.csv metric", limit: 0.0001} // the printed M starts from a best wire printed to 0.0001
	n := 0
	pitchDiameter := map[string]calc.Length{}
	table := rows(t, "wires.csv")
	for _, r := range table {
		if r["quantity"] == "E" {
			pitchDiameter[r["item"]] = calc.Millimetres(number(t, r["value"]))
		}
	}
	for _, r := range table {
		spec, rest, _ := strings.Cut(r["item"], " ")
		if r["kind"] != "reference_example" || r["unit"] != "mm" {
			continue
		}
		n++
		th := parse(t, spec+"-6g")
		w := thread.Wires{Pitch: th.Pitch, Lead: th.Lead, Angle: th.Angle, Wire: th.BestWire()}
		flat := w
		flat.Lead = calc.Lead{}
		e := pitchDiameter[r["item"]]
		var got calc.Length
		scale := 1.0
		switch r["quantity"] {
		case "E":
			b, err := th.Basic()
			if err != nil {
				t.Fatal(err)
			}
			got = b.Pitch
		case "W_best":
			got = th.BestWire()
		case "M_simple":
			got = flat.Over(e)
		case "M_lead_corrected":
			got = w.Over(e)
		case "lead_correction_um":
			got, scale = w.Over(e)-flat.Over(e), 1000
		case "M_max", "M_min":
			// These two rows leave the lead angle out.
			flat.Wire = calc.Millimetres(number(t, strings.Fields(rest)[2]))
			l := limits(t, th)
			m, err := th.OverWires(flat.Wire)
			if err != nil {
				t.Fatal(err)
			}
			with := m.Max
			got = flat.Over(l.Pitch.Max)
			if r["quantity"] == "M_min" {
				with, got = m.Min, flat.Over(l.Pitch.Min)
			}
			if lead := with - got; lead <= 0 || lead > 2*calc.Micrometre {
				t.Errorf("%s: the lead angle moves the reading by %s", r["item"], lead)
			}
		default:
			t.Fatalf("quantity %q is not known", r["quantity"])
		}
		limit := c.limit
		switch r["quantity"] {
		case "lead_correction_um":
			c.limit = 0.0051 // printed to 0.01 um
		case "M_max", "M_min":
			c.limit = 0.0005 // printed to 0.001
		}
		c.row(r["item"]+" "+r["quantity"], r["confidence"], got.Millimetres()*scale, number(t, r["value"]))
		c.limit = limit
	}
	c.done(n)
}

// A reading gives back the pitch diameter it was worked out from, to the
// nanometre, lead angle and all.
func TestWiresBackToPitchDiameter(t *testing.T) {
	for _, spec := range []string{"M10x1-6g", "M3-6g", "M36-4h", "M20xPh8P2-6g"} {
		th := parse(t, spec)
		l := limits(t, th)
		for _, e := range []calc.Length{l.Pitch.Min, l.Pitch.Mid(), l.Pitch.Max} {
			w := th.BestWire()
			m, err := th.OverWires(w)
			if err != nil {
				t.Fatal(err)
			}
			if m.Min >= m.Nominal || m.Nominal >= m.Max {
				t.Fatalf("%s: %+v", spec, m)
			}
			reading := thread.Wires{Pitch: th.Pitch, Lead: th.Lead, Angle: th.Angle, Wire: w}.Over(e)
			if got, err := th.PitchFromWires(reading, w); err != nil || (got-e).Abs() > 1 {
				t.Errorf("%s: %s over %s is %s, %v; want %s", spec, reading, w, got, err, e)
			}
		}
	}
}

// Wires that do not rest on the flanks are refused with those that do; the best
// wire is always inside them.
func TestWiresThatDoNotRest(t *testing.T) {
	th := parse(t, "M10x1-6g")
	for _, w := range []string{"0.3 mm", "1.2 mm", "0 mm"} {
		if m, err := th.OverWires(length(t, w)); err == nil || !strings.Contains(err.Error(), "best 0.577 mm") {
			t.Errorf("wire %s: %+v, %v", w, m, err)
		}
	}
	for _, spec := range []string{"M1.6", "M3", "M6", "M10x1", "M20", "M36", "M100x6"} {
		th := parse(t, spec)
		if _, err := th.OverWires(th.BestWire()); err != nil {
			t.Error(err)
		}
	}
	if _, err := parse(t, "M10x1-6H").OverWires(577 * calc.Micrometre); err == nil {
		t.Error("wires are said to measure an inside thread")
	}
	if _, err := th.PitchFromWires(length(t, "0.5 mm"), th.BestWire()); err == nil {
		t.Error("a reading of 0.5 mm is taken for M10x1")
	}
}
