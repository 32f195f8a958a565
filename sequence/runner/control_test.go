package runner

import (
	"reflect"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence"
)

func TestParseControl(t *testing.T) {
	mm := func(l calc.Length) calc.Length { return l * calc.Micrometre }
	for _, c := range []struct {
		line  string
		kind  Kind
		guard int
		err   string
	}{
		{"next", Advance{}, 0, ""},
		{"next @3", Advance{}, 3, ""},
		{"  back\t", Back{}, 0, ""},
		{"again", Again{}, 0, ""},
		{"reading 16.02mm", Reading{Value: mm(16020)}, 0, ""},
		{"reading 16.02 mm @12", Reading{Value: mm(16020)}, 12, ""},
		{"reading 7/16 in", Reading{Value: 7 * calc.Inch / 16}, 0, ""},
		{"reading 16.02mm 16.03 mm 16.01mm", Reading{mm(16020), []calc.Length{mm(16030), mm(16010)}}, 0, ""},
		{"reading 0.997in 1.001in 0.999in", Reading{997 * calc.Thou, []calc.Length{1001 * calc.Thou, 999 * calc.Thou}}, 0, ""},
		{"fits", Answer{sequence.Fits}, 0, ""},
		{"tight @4", Answer{sequence.Tight}, 4, ""},
		{"loose", Answer{sequence.Loose}, 0, ""},
		{"pause", Pause{}, 0, ""},
		{"go", Go{}, 0, ""},
		{"note swarf on pass 3", Note{"swarf on pass 3"}, 0, ""},
		{"note ask me @home", Note{"ask me @home"}, 0, ""},
		{"sign Ada Bell", SignOff{"Ada Bell"}, 0, ""},
		{"status", Status{}, 0, ""},
		{"stop", Halt{}, 0, ""},
		{"", nil, 0, ""},
		{"# a remark", nil, 0, ""},
		{"nxt", nil, 0, `unknown command "nxt" (next, back, again,`},
		{"goto 4", nil, 0, `unknown command "goto"`},
		{"Next", nil, 0, `unknown command "Next"`},
		{"next 3", nil, 0, `next takes nothing after it, not "3"`},
		{"next @", nil, 0, `next takes nothing after it, not "@"`},
		{"next @0", nil, 0, `next takes nothing after it, not "@0"`},
		{"next @-1", nil, 0, `next takes nothing after it`},
		{"next @99999999999", nil, 0, `next takes nothing after it`},
		{"reading", nil, 0, "reading needs a length: reading 16.02mm"},
		{"reading 16.02", nil, 0, `"16.02" has no unit`},
		{"reading 16,02mm", nil, 0, "has a comma"},
		{"reading 16.02mm and", nil, 0, "is no"},
		{"reading mm", nil, 0, "is no number"},
		{"note", nil, 0, "note needs its text: note TEXT"},
		{"note @5", nil, 0, "note needs its text: note TEXT"},
		{"sign", nil, 0, "sign needs a name: sign NAME"},
		{"note " + strings.Repeat("x", longestLine), nil, 0, "line longer than 4096 bytes"},
	} {
		e, guard, err := ParseControl(c.line)
		if c.err != "" {
			if err == nil || !strings.Contains(err.Error(), c.err) || strings.Contains(err.Error(), "\n") {
				t.Errorf("%.40q: error %v, want %q", c.line, err, c.err)
			}
			if e.Kind != nil {
				t.Errorf("%.40q: an error and an event", c.line)
			}
			continue
		}
		if err != nil || !reflect.DeepEqual(e.Kind, c.kind) || guard != c.guard || e.Guard != c.guard {
			t.Errorf("%.40q: %#v guard %d, %v; want %#v guard %d", c.line, e.Kind, guard, err, c.kind, c.guard)
		}
		if c.kind != nil && !e.Scripted {
			t.Errorf("%.40q: not marked as a line of a script", c.line)
		}
	}
}

func FuzzParseControl(f *testing.F) {
	for _, line := range []string{"next @3", "reading 16.02 mm 7/16 in", "note x @y", "sign  @2", "# x", "reading @"} {
		f.Add(line)
	}
	f.Fuzz(func(t *testing.T, line string) {
		e, guard, err := ParseControl(line)
		if err != nil && (e.Kind != nil || strings.Contains(err.Error(), "\n") && !strings.Contains(line, "\n")) {
			t.Errorf("%q: %v", line, err)
		}
		if guard < 0 || guard != e.Guard {
			t.Errorf("%q: guard %d", line, guard)
		}
	})
}
