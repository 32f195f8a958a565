package main

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

// calcRows is the rows of a table of the tree's testdata.
func calcRows(t *testing.T, name string) [][]string {
	t.Helper()
	f, err := os.Open("../../testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

// TestExamplesOfThreads: the worked examples that the package of threads answers.
func TestExamplesOfThreads(t *testing.T) {
	type args map[string]float64
	m12, err := thread.Parse("M12x1.75")
	if err != nil {
		t.Fatal(err)
	}
	mm := func(l calc.Length, err error) float64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return l.Millimetres()
	}
	sums := map[string]func(a args) float64{
		"infeed_sqrt": func(a args) float64 { return a["total"] * thread.PlainArea.Reached(int(a["i"]), int(a["n"])) },
		"pd_basic": func(a args) float64 {
			if a["d"] != 12 || a["P"] != 1.75 {
				t.Fatalf("another thread: %v", a)
			}
			b, err := m12.Basic()
			return mm(b.Pitch, err)
		},
		"wire_best": func(a args) float64 {
			if a["P"] != 1.75 {
				t.Fatalf("another pitch: %v", a)
			}
			return m12.BestWire().Millimetres()
		},
		"wire_m": func(a args) float64 {
			w := thread.Wires{Pitch: calc.PerTurn(calc.Millimetres(a["P"])), Angle: 60 * calc.Degree, Wire: calc.Millimetres(a["W"])}
			return w.Over(calc.Millimetres(a["d2"])).Millimetres()
		},
	}
	seen := 0
	for _, row := range calcRows(t, "machining/examples.csv") {
		do, ok := sums[row[2]]
		if !ok {
			continue
		}
		seen++
		a := args{}
		if err := json.Unmarshal([]byte(strings.ReplaceAll(row[3], "'", `"`)), &a); err != nil {
			t.Fatal(err)
		}
		want, err := strconv.ParseFloat(row[4], 64)
		if err != nil {
			t.Fatal(err)
		}
		tol, err := strconv.ParseFloat(row[5], 64)
		if err != nil {
			t.Fatal(err)
		}
		if got := do(a); math.Abs(got-want) > tol {
			t.Errorf("%s: got %.6f, want %s within %s", row[0], got, row[4], row[5])
		}
	}
	if seen != 4 {
		t.Errorf("%d rows, want TH8 to TH11", seen)
	}
}

// TestDepthOfSeveralStarts: C112, the depth of a four-start thread is that of its
// pitch, 0.650 mm with a tip as wide as an eighth of it.
func TestDepthOfSeveralStarts(t *testing.T) {
	for _, row := range calcRows(t, "cases.csv") {
		if row[0] != "C112" {
			continue
		}
		if !strings.Contains(row[3], "depth from pitch=0.650 (P/8 flat)") {
			t.Fatalf("the case now says %q", row[3])
		}
		pitch := calc.PerTurn(calc.Millimetre)
		tip, err := thread.ParseTip("flat P/8", pitch)
		if err != nil {
			t.Fatal(err)
		}
		// A thread of P 1 turned to its nominal diameter, basic profile: 0.64952 P.
		form := thread.Form{Nominal: 12 * calc.Millimetre, Pitch: pitch, Angle: 60 * calc.Degree, Starts: 4}
		th, err := thread.Custom(form)
		if err != nil {
			t.Fatal(err)
		}
		d, err := th.Depth(tip, form.Nominal)
		if err != nil {
			t.Fatal(err)
		}
		if got := d.FromNominal.Millimetres(); math.Abs(got-0.650) > 0.001 {
			t.Errorf("depth %.4f mm", got)
		}
		if th.Lead != calc.PerTurn(4*calc.Millimetre) {
			t.Errorf("lead %s", th.Lead)
		}
		return
	}
	t.Fatal("no case C112")
}

// TestEveryExampleHasATest: each topic of the worked examples is taken up by the
// test of a package, so that a new row cannot be passed over.
func TestEveryExampleHasATest(t *testing.T) {
	topics := map[string]int{}
	rows := calcRows(t, "machining/examples.csv")
	for _, row := range rows {
		topics[row[1]]++
	}
	for topic, n := range map[string]int{
		"speeds": 6, "force": 21, "deflection": 16, "stopping": 12, "roughness": 8, "timing": 4, // cutting
		"dials": 14, "workholding": 11, "drilling": 4, "taper": 7, "knurl": 6, "parting": 1, "oring": 2, // setup
		"changegears": 25, // gear
		"threading":   17, // gear 10, setup 3, here 4
	} {
		if topics[topic] != n {
			t.Errorf("%d rows of %s, want %d", topics[topic], topic, n)
		}
		delete(topics, topic)
	}
	if len(topics) != 0 || len(rows) != 154 {
		t.Errorf("%d rows, topics without a test: %v", len(rows), topics)
	}
}
