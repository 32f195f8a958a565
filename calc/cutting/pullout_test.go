package cutting_test

import (
	"testing"
	"time"

	"turncue/calc"
	"turncue/calc/cutting"
)

// Worked by hand from "tool pulled out: n = 60 w / (P t)" with the half turn of the hand
// taken off the room: P 1.5, 0.6 s, 2.75 mm leave 2 mm, 60 x 2 / (1.5 x 0.6) = 133.3.
func TestPullOut(t *testing.T) {
	p := cutting.PullOut{Lead: calc.PerTurn(1500 * calc.Micrometre), Delay: 600 * time.Millisecond}
	if got := p.MaxSpeed(2750 * calc.Micrometre).PerMinute(); got < 133.3 || got > 133.4 {
		t.Errorf("at most %g rpm, worked by hand 133.3", got)
	}
	// 60 rpm: 0.6 turns in 0.6 s and half a turn more, of 1.5 mm.
	if got := p.Travel(60 * calc.RPM); got != 1650*calc.Micrometre {
		t.Errorf("travel %s, worked by hand 1.65 mm", got)
	}
	if got := p.MaxSpeed(750 * calc.Micrometre); got != 0 {
		t.Errorf("%s where half a turn takes up the room", got)
	}
	// Half a turn of the handle takes a quarter of a second, half a turn of the work is
	// not shorter up to 120 rpm.
	p.Turns = 0.5
	if got, ok := p.HandSpeed(); !ok || got != 120*calc.RPM {
		t.Errorf("the hand keeps up to %s, worked by hand 120 rpm", got)
	}
	if got := p.MaxSpeed(2750 * calc.Micrometre); got != 120*calc.RPM {
		t.Errorf("at most %s with the hand, want 120 rpm", got)
	}
}
