package thread_test

import (
	"math"
	"regexp"
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

// The rest of the table: constants, pitch constants, printed examples, inch
// examples and the Acme table of large lead angles. With the metric rows above
// that is every row.
func TestWiresTable(t *testing.T) {
	c := comparison{t: t, name: "wires.csv"}
	table := rows(t, "wires.csv")
	figures := map[string]map[string]float64{}
	for _, r := range table {
		if figures[r["item"]] == nil {
			figures[r["item"]] = map[string]float64{}
		}
		figures[r["item"]][r["quantity"]] = number(t, r["value"])
	}
	elsewhere := 0
	for _, r := range table {
		item, quantity, want := r["item"], r["quantity"], number(t, r["value"])
		c.limit = lastDigit(r["value"]) / 2
		var got float64
		switch r["kind"] {
		case "constant":
			a, err := calc.ParseAngle(strings.TrimSuffix(item, "deg") + " deg")
			if err != nil {
				t.Fatal(err)
			}
			// Big figures, so that the nanometre does not show.
			p := calc.PerTurn(100 * calc.Millimetre)
			w := thread.Wires{Pitch: p, Angle: a, Wire: 100 * calc.Millimetre}
			e := 1000 * calc.Millimetre
			wireless := w
			wireless.Wire = 0
			switch quantity {
			case "best_wire_per_pitch":
				th, err := thread.Custom(thread.Form{Nominal: 900 * calc.Millimetre, Pitch: p, Angle: a})
				if err != nil {
					t.Fatal(err)
				}
				got = th.BestWire().Millimetres() / 100
			case "wire_factor":
				got = (w.Over(e) - wireless.Over(e)).Millimetres() / 100
			case "pitch_factor":
				got = (e - wireless.Over(e)).Millimetres() / 100
			default:
				t.Fatalf("quantity %q is not known", quantity)
			}
		case "pitch_constant":
			words := strings.Fields(item) // "60deg 18 tpi"
			a, err := calc.ParseAngle(strings.TrimSuffix(words[0], "deg") + " deg")
			if err != nil {
				t.Fatal(err)
			}
			p, err := calc.ParseLead(words[1] + " tpi")
			if err != nil {
				t.Fatal(err)
			}
			got = (calc.Inch - thread.Wires{Pitch: p, Angle: a}.Over(calc.Inch)).Inches()
			c.limit += 0.000001 // the table multiplies by 0.9605, not 0.96049
		case "published_example":
			f := figures[item]
			if quantity != "M" {
				elsewhere++ // what the example is worked out from
				continue
			}
			w := thread.Wires{Pitch: calc.PerTurn(calc.Inches(f["P"])), Angle: 60 * calc.Degree, Wire: calc.Inches(f["W"])}
			got = w.Over(calc.Inches(f["D"] - 0.649519*f["P"])).Inches()
			c.limit = max(c.limit, 0.00006) // P is printed to five places
		case "acme_large_lead":
			f := figures[item]
			if quantity != "C_plus_c" {
				elsewhere++ // the wire
				continue
			}
			m := regexp.MustCompile(`(\d) start, lead angle ([0-9.]+) deg`).FindStringSubmatch(item)
			starts, lead := number(t, m[1]), number(t, m[2])*math.Pi/180
			e := calc.Inches(starts / (math.Pi * math.Tan(lead)))
			w := thread.Wires{Pitch: calc.PerTurn(calc.Inch), Lead: calc.PerTurn(calc.Inches(starts)), Angle: 29 * calc.Degree, Wire: calc.Inches(f["w1"])}
			got = (w.Over(e) - e).Inches()
			c.limit = 0.0001 // the printed table's own rounding of both angle and wire
		case "reference_example":
			if r["unit"] == "mm" {
				elsewhere++ // TestMetricWiresTable
				continue
			}
			th := parse(t, strings.TrimSuffix(item, " basic"))
			b, err := th.Basic()
			if err != nil {
				t.Fatal(err)
			}
			f := figures[item]
			w := thread.Wires{Pitch: th.Pitch, Lead: th.Lead, Angle: th.Angle, Wire: calc.Inches(f["W_best"])}
			flat := w
			flat.Lead = calc.Lead{}
			switch quantity {
			case "E":
				got = b.Pitch.Inches()
			case "W_best":
				got = th.BestWire().Inches()
			case "M_simple":
				got = flat.Over(calc.Inches(f["E"])).Inches()
			case "M_lead_corrected":
				got = w.Over(calc.Inches(f["E"])).Inches()
			default:
				t.Fatalf("quantity %q is not known", quantity)
			}
			c.limit += 1e-7
		default:
			t.Fatalf("kind %q is not known", r["kind"])
		}
		c.row(item+" "+quantity, r["confidence"], got, want)
	}
	c.limit = 0
	c.done(len(table) - elsewhere)
}

// On a large lead angle the helicoid and its inverse agree as well.
func TestAcmeWires(t *testing.T) {
	th := parse(t, "1-5 Acme")
	w := th.BestWire()
	m, err := th.OverWires(w)
	if err != nil {
		t.Fatal(err)
	}
	l := limits(t, th)
	if got, err := th.PitchFromWires(m.Max, w); err != nil || (got-l.Pitch.Max).Abs() > 2 {
		t.Errorf("%s over %s is %s, %v; want %s", m.Max, w, got, err, l.Pitch.Max)
	}
}
