package main

import (
	"slices"
	"testing"
	"time"

	"turncue/calc"
	"turncue/cmd/turncue/pedal"
	"turncue/cmd/turncue/terminal"
	"turncue/sequence"
	"turncue/sequence/runner"
)

// keyboard feeds keys to an entry at a step, a tenth of a second apart.
type keyboard struct {
	entry *entry
	at    time.Duration
}

func atStep(need sequence.Need) *keyboard {
	e := newEntry(pedal.Safe(), calc.Millimetre)
	e.show(runner.Frame{Step: &sequence.Step{ID: "s1/finish/size1", Needs: need}, Phase: runner.Running})
	return &keyboard{entry: e}
}

func (k *keyboard) press(name string, r rune, text bool) runner.Kind {
	k.at += 100 * time.Millisecond
	return k.entry.key(terminal.Key{Name: name, Rune: r, Text: text, At: k.at})
}

func (k *keyboard) typed(s string, text bool) (last runner.Kind) {
	for _, r := range s {
		name := string(r)
		switch r {
		case '\r':
			name, r = "enter", 0
		case ' ':
			name = "space"
		}
		last = k.press(name, r, text)
	}
	return last
}

func TestReadingIsTyped(t *testing.T) {
	for _, c := range []struct {
		keys string
		want calc.Length
	}{
		{"16.28\r", 16280 * calc.Micrometre},
		{"16.2 mm\r", 16200 * calc.Micrometre},
		{"0.375 in\r", 375 * calc.Thou},
		{"375 thou\r", 375 * calc.Thou},
		{".5\r", calc.Millimetre / 2},
	} {
		if got, ok := atStep(sequence.NeedReading).typed(c.keys, false).(runner.Reading); !ok || got.Value != c.want {
			t.Errorf("%q: %v", c.keys, got)
		}
	}
}

// Two people read the same size: both are typed on one line.
func TestTwoReadingsAreTyped(t *testing.T) {
	for keys, want := range map[string][]calc.Length{
		"16.28 16.29\r":         {16280 * calc.Micrometre, 16290 * calc.Micrometre},
		"0.641 in 0.6412 in\r":  {641 * calc.Thou, 6412 * calc.Thou / 10},
		"641 thou 16.29 16.3\r": {641 * calc.Thou, 16290 * calc.Micrometre, 16300 * calc.Micrometre},
	} {
		got, ok := atStep(sequence.NeedReading).typed(keys, false).(runner.Reading)
		if all := append([]calc.Length{got.Value}, got.More...); !ok || !slices.Equal(all, want) {
			t.Errorf("%q: %v, want %v", keys, all, want)
		}
	}
	k := atStep(sequence.NeedReading)
	if kind := k.typed("16.28 16,29\r", false); kind != nil || k.entry.hint == "" {
		t.Errorf("one of two with a comma gives %v, %q", kind, k.entry.hint)
	}
}

// A letter or space inside a reading is not a press; outside one it is.
func TestPressBesideAReading(t *testing.T) {
	k := atStep(sequence.NeedReading)
	if k.typed("12 ", false) != nil {
		t.Error("the space of a reading is taken for a press")
	}
	k = atStep(sequence.NeedReading)
	if _, ok := k.typed(" ", false).(runner.Advance); !ok {
		t.Error("a press at a measurement is not passed on")
	}
}

func TestDecimalCommaIsQuestioned(t *testing.T) {
	k := atStep(sequence.NeedReading)
	if kind := k.typed("16,28\r", false); kind != nil || k.entry.hint == "" {
		t.Errorf("16,28 gives %v, %q", kind, k.entry.hint)
	}
}

// Figures held up on the way look like a burst; what was typed before them goes too,
// so that no half of a reading is taken.
func TestHalfAReadingIsNotKept(t *testing.T) {
	k := atStep(sequence.NeedReading)
	k.typed("16", false)
	k.typed(".2", true)
	if kind := k.typed("8\r", false); kind != nil {
		if r, ok := kind.(runner.Reading); !ok || r.Value != 8*calc.Millimetre {
			t.Errorf("took %v", kind)
		}
	}
	if k.entry.typed != "" {
		t.Errorf("%q stays", k.entry.typed)
	}
}

// A measuring tool types its figure and enter at once: taken where a reading is asked
// for and nowhere else.
func TestMeasuringTool(t *testing.T) {
	if got, ok := atStep(sequence.NeedReading).typed("16.28\r", true).(runner.Reading); !ok || got.Value != 16280*calc.Micrometre {
		t.Errorf("at a measurement: %v", got)
	}
	if kind := atStep(sequence.NeedPress).typed("16.28\r", true); kind != nil {
		t.Errorf("at a press: %v", kind)
	}
	if kind := atStep(sequence.NeedReading).typed("www.example.org\r", true); kind != nil {
		t.Errorf("an address: %v", kind)
	}
}

func TestGaugeIsAnswered(t *testing.T) {
	for key, want := range map[string]sequence.Fit{"f": sequence.Fits, "t": sequence.Tight, "l": sequence.Loose} {
		if got, ok := atStep(sequence.NeedFit).typed(key, false).(runner.Answer); !ok || got.Fit != want {
			t.Errorf("%s: %v", key, got)
		}
		if kind := atStep(sequence.NeedPress).typed(key, false); kind != nil {
			t.Errorf("%s at a press: %v", key, kind)
		}
	}
}
