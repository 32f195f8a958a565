package runner

import (
	"testing"

	"turncue/calc"
	"turncue/sequence"
)

func TestJudge(t *testing.T) {
	mm := func(nominal, low, high string, final bool) sequence.Measure {
		return sequence.Measure{
			What: sequence.MeasureDiameter, Nominal: length(t, nominal), Min: length(t, low), Max: length(t, high),
			Unit: calc.Millimetre, Final: final, Division: 10 * calc.Micrometre,
		}
	}
	last := mm("9.884 mm", "9.794 mm", "9.974 mm", true)
	cut := mm("10.2 mm", "10.05 mm", "10.5 mm", false)
	inch := sequence.Measure{
		What: sequence.MeasureDiameter, Nominal: length(t, "0.375 in"), Min: length(t, "0.374 in"), Max: length(t, "0.376 in"),
		Unit: calc.Inch, Final: true, Division: length(t, "0.0005 in"),
	}
	shoulder := sequence.Measure{
		What: sequence.MeasureLength, Nominal: length(t, "28 mm"), Min: length(t, "27.9 mm"), Max: length(t, "28.1 mm"),
		Unit: calc.Millimetre, Final: true, Division: 50 * calc.Micrometre, Grows: true,
	}
	scratch := sequence.Measure{
		What: sequence.MeasureThreads, Threads: 10, Nominal: length(t, "17.5 mm"), Min: length(t, "17 mm"), Max: length(t, "18 mm"), Unit: calc.Millimetre,
	}
	bore := mm("25.01 mm", "25 mm", "25.021 mm", true)
	bore.What, bore.Grows = sequence.MeasureBore, true
	blade := shoulder
	blade.What = sequence.MeasureEdge
	ring := shoulder // of R 1/2: 8.2 mm, a turn of 1.8 mm either way (ISO 7-1)
	ring.What, ring.Nominal, ring.Min, ring.Max = sequence.MeasureRingOn, length(t, "8.2 mm"), length(t, "6.4 mm"), length(t, "10 mm")
	for _, c := range []struct {
		name    string
		m       sequence.Measure
		reading string
		want    Result
		firm    bool
		notice  string
	}{
		{"a ring in its limits", ring, "6.4 mm", Accepted, false, ""},
		{"a ring two turns short", ring, "4.6 mm", MoreCuts, false, "the ring goes on 4.6 mm, 3.6 mm short of 8.2 mm"},
		{"a ring too far on", ring, "10.5 mm", UnderSize, false, "the ring goes on 10.5 mm, 0.5 mm past its limit of 10 mm: the thread is too thin; measure again; if it stays so, face the end back by 0.5 mm or more, or make it anew"},
		{"in the limits", last, "9.88 mm", Accepted, false, ""},
		{"on the lower limit", last, "9.794 mm", Accepted, false, ""},
		{"just over", last, "9.99 mm", MoreCuts, false, "9.99 mm is over size by 0.016 mm (limit 9.974 mm)"},
		{"just under", last, "9.78 mm", UnderSize, false, "9.78 mm is under size by 0.014 mm (limit 9.794 mm)" + remedy(&last, UnderSize)},
		{"a metric thimble turn up", last, "10.38 mm", Questioned, true, "10.38 mm is over size by 0.406 mm (limit 9.974 mm); one thimble turn (0.5 mm) off it would be 9.88 mm: measure again"},
		{"a metric thimble turn down", last, "9.38 mm", Questioned, true, "9.38 mm is under size by 0.414 mm (limit 9.794 mm); one thimble turn (0.5 mm) off it would be 9.88 mm: measure again"},
		{"an inch thimble turn, in millimetres", last, "10.52 mm", Questioned, true, "10.52 mm is over size by 0.546 mm (limit 9.974 mm); one thimble turn (0.635 mm) off it would be 9.885 mm: measure again"},
		{"a needle turn", last, "8.88 mm", Questioned, true, "8.88 mm is under size by 0.914 mm (limit 9.794 mm); one needle turn (1 mm) off it would be 9.88 mm: measure again"},
		{"the radius", last, "4.94 mm", Questioned, false, "4.94 mm is under size by 4.854 mm (limit 9.794 mm); if that is the radius, it would be 9.88 mm: measure again"},
		{"inches typed as millimetres", last, "0.389 mm", Questioned, false, "0.389 mm is under size by 9.405 mm (limit 9.794 mm); if that was read in inches, it would be 9.8806 mm: measure again"},
		{"a point in the wrong place", last, "98.8 mm", Questioned, false, "98.8 mm is over size by 88.826 mm (limit 9.974 mm); with the point one place to the left, it would be 9.88 mm: measure again"},
		{"far off, no slip known", last, "12.7 mm", Questioned, true, "12.7 mm is over size by 2.726 mm (limit 9.974 mm): measure again"},
		{"nothing", last, "0 mm", Impossible, false, "0 mm cannot be: a diameter is more than zero"},
		{"less than nothing", last, "-9.88 mm", Impossible, false, "-9.88 mm cannot be: a diameter is more than zero"},
		{"longer than any lathe", last, "10001 mm", Impossible, false, "10001 mm is longer than any lathe"},
		{"between cuts, near", cut, "10.21 mm", Accepted, false, ""},
		{"between cuts, a turn off", cut, "10.71 mm", Questioned, true, "10.71 mm is not near 10.2 mm; one thimble turn (0.5 mm) off it would be 10.21 mm: measure again"},
		{"between cuts, no slip known", cut, "7 mm", Questioned, true, "7 mm is not near 10.2 mm: measure again"},
		{"inch thimble turn", inch, "0.4 in", Questioned, true, "0.4 in is over size by 0.024 in (limit 0.376 in); one thimble turn (0.025 in) off it would be 0.375 in: measure again"},
		{"inch needle turn", inch, "0.475 in", Questioned, true, "0.475 in is over size by 0.099 in (limit 0.376 in); one needle turn (0.1 in) off it would be 0.375 in: measure again"},
		{"millimetres typed as inches", inch, "9.525 in", Questioned, false, "9.525 in is over size by 9.149 in (limit 0.376 in); if that was read in millimetres, it would be 0.375 in: measure again"},
		{"a shoulder too short is cut on", shoulder, "27.8 mm", MoreCuts, false, "27.8 mm is under size by 0.1 mm (limit 27.9 mm)"},
		{"a shoulder too long is not", shoulder, "28.2 mm", OverSize, false, "28.2 mm is over size by 0.1 mm (limit 28.1 mm)" + remedy(&shoulder, OverSize)},
		{"a bore too small is cut on", bore, "24.95 mm", MoreCuts, false, "24.95 mm is under size by 0.05 mm (limit 25 mm)"},
		{"a bore too large is not", bore, "25.04 mm", OverSize, false,
			"25.04 mm is over size by 0.019 mm (limit 25.021 mm): leave it in the chuck and measure again; if it stays so, sleeve the bore, make what goes into it to suit, or make it anew"},
		{"the radius of a bore", bore, "12.505 mm", Questioned, false, "12.505 mm is under size by 12.495 mm (limit 25 mm); if that is the radius, it would be 25.01 mm: measure again"},
		{"a wrong gear", scratch, "15 mm", WrongLead, false, "10 threads in 15 mm are 1.5 mm pitch, wanted 1.75 mm pitch: wrong pitch, check the gears"},
		{"one thread too many", scratch, "19.3 mm", WrongLead, false, "10 threads in 19.3 mm are 1.93 mm pitch, wanted 1.75 mm pitch; or 11 were counted: wrong pitch, check the gears"},
		{"the blade short of its place", blade, "27.5 mm", Misplaced, false, "27.5 mm is 0.5 mm short of 28 mm: move the blade, lock, measure again"},
		{"the blade past its place", blade, "28.4 mm", Misplaced, false, "28.4 mm is 0.4 mm past 28 mm: move the blade, lock, measure again"},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := judge(&c.m, length(t, c.reading), nil)
			if got.result != c.want || got.notice != c.notice || got.firm != c.firm {
				t.Errorf("judge(%s)\n got %s %q firm=%v\nwant %s %q firm=%v", c.reading, got.result, got.notice, got.firm, c.want, c.notice, c.firm)
			}
		})
	}
}

// Cutting makes a diameter smaller and a bore larger: a reading that says otherwise is
// questioned, but for what two readings of one size may differ.
func TestReadingAgainstTheOneBefore(t *testing.T) {
	m := sequence.Measure{
		What: sequence.MeasureDiameter, Nominal: length(t, "10.2 mm"), Min: length(t, "10 mm"), Max: length(t, "10.5 mm"),
		Unit: calc.Millimetre, Division: 10 * calc.Micrometre,
	}
	bore := m
	bore.What, bore.Grows = sequence.MeasureBore, true
	for _, c := range []struct {
		name            string
		m               sequence.Measure
		before, reading string
		want            Result
		notice          string
	}{
		{"smaller", m, "10.4 mm", "10.2 mm", Accepted, ""},
		{"the same, nearly", m, "10.2 mm", "10.22 mm", Accepted, ""},
		{"bigger", m, "10.2 mm", "10.23 mm", Questioned, "10.23 mm is bigger than before (10.2 mm): measure again, or go back and correct the reading before"},
		{"a bore, larger", bore, "10.1 mm", "10.2 mm", Accepted, ""},
		{"a bore, the same, nearly", bore, "10.2 mm", "10.18 mm", Accepted, ""},
		{"a bore, smaller", bore, "10.2 mm", "10.17 mm", Questioned, "10.17 mm is smaller than before (10.2 mm): measure again, or go back and correct the reading before"},
	} {
		before := length(t, c.before)
		if got := judge(&c.m, length(t, c.reading), &before); got.result != c.want || got.notice != c.notice {
			t.Errorf("%s: %s %q, want %s %q", c.name, got.result, got.notice, c.want, c.notice)
		}
	}
}

// A second reading that agrees settles what can be; one that proves nothing does not.
func TestSecondReading(t *testing.T) {
	cut := sequence.Measure{
		What: sequence.MeasureDiameter, Nominal: length(t, "10.2 mm"), Min: length(t, "10.05 mm"), Max: length(t, "10.5 mm"),
		Unit: calc.Millimetre, Division: 10 * calc.Micrometre,
	}
	last := cut
	last.Final = true
	for _, c := range []struct {
		name     string
		m        sequence.Measure
		readings []string
		passes   bool
	}{
		{"an unlikely one once", cut, []string{"9.9 mm"}, false},
		{"an unlikely one twice", cut, []string{"9.9 mm", "9.91 mm"}, true},
		{"two that do not agree", cut, []string{"9.9 mm", "9.93 mm"}, false},
		{"two that do not agree, then one that does", cut, []string{"9.9 mm", "9.7 mm", "9.71 mm"}, true},
		{"a turn off, then right", cut, []string{"10.71 mm", "10.21 mm"}, true},
		{"the radius twice", cut, []string{"5.1 mm", "5.1 mm"}, false},
		{"inches twice", cut, []string{"0.4016 mm", "0.4016 mm"}, false},
		{"under size twice", last, []string{"10.04 mm", "10.04 mm"}, false},
		{"under size, then inside once", last, []string{"10.0 mm", "10.2 mm"}, false},
		{"just under, then just inside", last, []string{"10.04 mm", "10.055 mm"}, false},
		{"under size, then inside twice", last, []string{"10.0 mm", "10.2 mm", "10.21 mm"}, true},
		{"under size, then inside, then another inside", last, []string{"10.0 mm", "10.2 mm", "10.3 mm"}, false},
		{"a turn off at a finished size, then right", last, []string{"9.7 mm", "10.2 mm"}, true},
		{"a turn low at a finished size, twice", last, []string{"9.7 mm", "9.7 mm"}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			s := fixed(t, measuring(c.m), pressed())
			for _, r := range c.readings {
				s = after(t, s, reads(t, r))
				if s.Step().ID == "step1" {
					at(t, after(t, s, Advance{}), "step1")
				}
			}
			if got := s.Step().ID == "step2"; got != c.passes {
				t.Errorf("passed is %v, want %v: %s", got, c.passes, s.Frame())
			}
		})
	}
}

// A reading corrected later: the later sizes of that section are asked for again, those of
// others are not, and both values stay in the records.
func TestCorrectedReading(t *testing.T) {
	part := testPart{unit: calc.Millimetre, recuts: 2, sections: []testSection{
		{name: "s1", nominal: 16 * calc.Millimetre, tol: 20 * calc.Micrometre, sign: true},
		{name: "s2", nominal: 20 * calc.Millimetre, tol: 20 * calc.Micrometre},
	}}
	s, err := part.start("")
	if err != nil {
		t.Fatal(err)
	}
	s = after(t, s, Begin{}, Advance{}, reads(t, "0.01 mm"), Advance{}, reads(t, "16.2 mm"), Advance{}, reads(t, "16.01 mm"), SignOff{"Ada"},
		Advance{}, reads(t, "20.2 mm"))
	at(t, s, "s2/last0")
	s = after(t, s, Back{}, Back{}, Back{}, Back{}, Back{}, Back{})
	at(t, s, "s1/between")
	if f := s.Frame(); !f.Confirmed || f.Reading == nil || *f.Reading != length(t, "16.2 mm") {
		t.Fatalf("gone back, the step is shown as %s", f)
	}
	if same := after(t, s, Advance{}, Advance{}); same.Step().ID != "s1/size0" || len(same.readings.Lengths) != 4 {
		t.Errorf("passing again over confirmed steps ended at %s", same.Frame())
	}
	s = after(t, s, reads(t, "16.25 mm"))
	at(t, s, "s1/last0")
	at(t, after(t, s, Advance{}, Advance{}), "s1/size0")
	if s.SignedBy("s1/seen") != "" {
		t.Error("the sign-off outlived the correction")
	}
	if _, ok := s.Readings().Lengths["s2/between"]; !ok {
		t.Error("the reading of another section was withdrawn")
	}
}

// A reading that speaks against an accepted one takes it back: no press goes past the step on
// the strength of the old one.
func TestAcceptedReadingWithdrawn(t *testing.T) {
	m := sequence.Measure{
		What: sequence.MeasureDiameter, Nominal: length(t, "16 mm"), Min: length(t, "15.98 mm"), Max: length(t, "16.02 mm"),
		Unit: calc.Millimetre, Final: true, Division: 10 * calc.Micrometre,
	}
	for _, against := range []string{"15.9 mm", "16.5 mm", "8 mm"} {
		s := after(t, fixed(t, pressed(), measuring(m), pressed(), pressed()), Advance{}, reads(t, "16 mm"), Advance{})
		at(t, s, "step4")
		s = after(t, s, Back{}, Back{}, reads(t, against))
		at(t, after(t, s, Advance{}), "step2")
		at(t, after(t, s, Back{}, Advance{}, Advance{}), "step2")
		if f := s.Frame(); f.Reading != nil || f.Confirmed {
			t.Errorf("after %s the step is shown as %s", against, f)
		}
	}
	s := after(t, fixed(t, pressed(), measuring(m), pressed()), Advance{}, reads(t, "16 mm"), Back{}, reads(t, "-1 mm"))
	at(t, after(t, s, Advance{}), "step3") // what cannot be speaks against nothing
}

// An over-size finished diameter is followed into the cuts that are added, and its plan has
// the same steps before.
func TestOverSizeAddsCuts(t *testing.T) {
	part := testPart{unit: calc.Millimetre, recuts: 2, sections: []testSection{{name: "s1", nominal: 16 * calc.Millimetre, tol: 20 * calc.Micrometre}}}
	s, err := part.start("")
	if err != nil {
		t.Fatal(err)
	}
	s = after(t, s, Begin{}, Advance{}, reads(t, "0.01 mm"), Advance{}, reads(t, "16.2 mm"), Advance{}, reads(t, "16.06 mm"))
	at(t, s, "s1/last1")
	if said := s.screen.prompt.Text(); said[:9] != "Over size" {
		t.Errorf("it is not said: %q", said)
	}
	s = after(t, s, Advance{}, reads(t, "16.05 mm"), Advance{}, reads(t, "16.04 mm"))
	at(t, s, "s1/size2")
	shows(t, s, "s1 cannot be cut again")
	at(t, after(t, s, Advance{}), "s1/size2")
	at(t, after(t, s, reads(t, "16.00 mm")), "end")
}

func TestGauge(t *testing.T) {
	part := testPart{unit: calc.Millimetre, extra: 2, sections: []testSection{{name: "s1", nominal: 16 * calc.Millimetre, tol: 20 * calc.Micrometre, passes: 1}}}
	s, err := part.start("")
	if err != nil {
		t.Fatal(err)
	}
	s = after(t, s, Begin{}, Advance{}, reads(t, "0.01 mm"), Advance{}, reads(t, "16.2 mm"), Advance{}, reads(t, "16 mm"), Advance{},
		reads(t, "15 mm"), Advance{}, Advance{})
	at(t, s, "s1/thread/gauge0")
	loose, effects := Next(s, Event{Kind: Answer{sequence.Loose}})
	at(t, after(t, loose, Advance{}), "s1/thread/gauge0")
	fits := Answer{sequence.Fits}
	at(t, after(t, loose, fits), "s1/thread/gauge0")
	at(t, after(t, loose, fits, Answer{sequence.Tight}), "s1/thread/gauge0")
	at(t, after(t, loose, fits, fits), "s1/thread/open")
	if effects[0].(Record).Result != TooLoose {
		t.Errorf("loose came out as %s", effects[0])
	}
	at(t, after(t, s, Advance{}), "s1/thread/gauge0")
	s = after(t, s, Answer{sequence.Tight})
	at(t, s, "s1/thread/pass2/set")
	s = after(t, s, Advance{}, Advance{}, Answer{sequence.Tight}, Advance{}, Advance{}, Answer{sequence.Tight})
	at(t, s, "s1/thread/gauge2")
	shows(t, s, "another pass would make the thread undersize")
	at(t, after(t, s, Answer{sequence.Fits}), "s1/thread/open")
	// Tight once, seen again, and now loose: the answer no longer carries a press past it.
	again := after(t, s, Back{}, Back{}, Back{})
	at(t, again, "s1/thread/gauge1")
	at(t, after(t, again, Answer{sequence.Loose}, Advance{}, Back{}, Advance{}, Advance{}), "s1/thread/gauge1")
}
