package thread

import (
	"fmt"

	"turncue/calc"
)

// RunOut is the end of an outside thread in front of a shoulder where no groove is cut:
// the thread fades out. DIN 76-1. Each figure is the most it may be.
type RunOut struct {
	Fade     calc.Length // from the last full thread to where none is left: x1, x2 of the short form
	Shoulder calc.Length // from the last full thread to the shoulder: a1, a2 of the short form
	Source   string
}

// runOutRow is what a pitch has besides x1, which stands with its undercut: x2, a1 and
// a2, in micrometres. From memory; a1 is also the greatest distance from the thread to
// the head of a bolt threaded up to it (ISO 4017, from memory).
type runOutRow struct{ pitch, fadeShort, shoulder, shoulderShort int }

var runOuts = []runOutRow{
	{200, 250, 600, 400}, {250, 300, 750, 500}, {300, 400, 900, 600}, {350, 450, 1050, 700}, {400, 500, 1200, 800},
	{450, 600, 1350, 900}, {500, 700, 1500, 1000}, {600, 750, 1800, 1200}, {700, 900, 2100, 1400}, {750, 1000, 2250, 1500},
	{800, 1000, 2400, 1600}, {1000, 1250, 3000, 2000}, {1250, 1600, 4000, 2500}, {1500, 1900, 4500, 3000}, {1750, 2200, 5300, 3500},
	{2000, 2500, 6000, 4000}, {2500, 3200, 7500, 5000}, {3000, 3800, 9000, 6000}, {3500, 4500, 10500, 7000}, {4000, 5000, 12000, 8000},
}

// RunOutFor is the end of an outside thread of that pitch without a groove: form
// "regular" or "short". A pitch that is not in the table is refused.
func RunOutFor(pitch calc.Lead, form string) (RunOut, error) {
	u, err := UndercutFor(pitch, form)
	if err != nil {
		return RunOut{}, fmt.Errorf("DIN 76-1 has no run-out for a pitch of %s: write the length in front of the shoulder that may be without full thread, about three pitches", pitch)
	}
	for _, r := range runOuts {
		if calc.PerTurn(calc.Length(r.pitch)*um) != pitch {
			continue
		}
		o := RunOut{Fade: u.RunOut, Shoulder: calc.Length(r.shoulder) * um, Source: u.Source}
		if form == Short {
			o.Fade, o.Shoulder = calc.Length(r.fadeShort)*um, calc.Length(r.shoulderShort)*um
		}
		return o, nil
	}
	return RunOut{}, fmt.Errorf("DIN 76-1 has no run-out for a pitch of %s: write its length", pitch)
}
