package bench

import (
	"turncue/calc"
	"turncue/calc/fit"
	"turncue/calc/thread"
	"turncue/sequence"
)

// history is what was done to one section.
type history struct {
	cuts      []turnedCut
	awaiting  turnedCut // what happened since the last cut
	corrected calc.Length
	inside    bool // the last reading was of the finished size and inside its limits

	passes   int
	grip     int
	marks    sequence.Marks // the lines its first pass was closed on
	top      calc.Length
	cut      *Thread
	root     calc.Length // diameter the tip reached
	cutAt    *sequence.Step
	start    int // which start the present pass cuts, from 0
	starts   []startCut
	tip      string
	turned   calc.Length
	window   thread.Depth
	known    bool
	depthErr error

	leadSaid, depthSaid, endSaid bool // faults are said once a thread
}

// startCut is one of the threads that run side by side.
type startCut struct {
	passes int
	root   calc.Length // diameter the tip reached
	by     *sequence.Step

	// Of a thread without a groove: where its last pass ended, where the deepest one did
	// (of one depth the last of them along the work), how deep that was, and where none
	// of it is left.
	end, full, deep, faded calc.Length
}

// turnedCut is one cut that took a section's diameter down.
type turnedCut struct {
	depth  calc.Length // on diameter
	step   *sequence.Step
	read   bool        // a reading was asked for just before it
	mended bool        // that reading was the last one and found it over size
	slip   calc.Length // how far that reading was from what was expected

	setting int         // of the cross slide's ring, see lathe
	taper   calc.Length // how much the work springs from it on diameter more here than there
}

// keptCuts is how many of the last cuts of a section are remembered.
const keptCuts = 16

// read notes a reading of the diameter, and whether it is inside the limits that are wanted,
// or those of the measure where it is the last one.
func (h *history) read(m *sequence.Measure, wanted fit.Limits) {
	final := m.Final && m.Got != nil
	h.awaiting.read = true
	h.awaiting.mended = h.awaiting.mended || final
	h.inside = final && *m.Got >= m.Min && *m.Got <= m.Max || m.Got != nil && wanted.Max > 0 && wanted.Contains(*m.Got) || h.inside && m.Got == nil
	h.corrected = 0
}

// limits works out the depth window of the thread once for a turned diameter.
func (h *history) limits(t *thread.Thread, tip string, turned calc.Length) {
	if h.known && h.turned == turned && h.tip == tip {
		return
	}
	h.known, h.turned, h.tip = true, turned, tip
	p, err := thread.Tip{}, error(nil)
	if tip != "" {
		p, err = thread.ParseTip(tip, t.Pitch)
	}
	if err == nil {
		h.window, err = t.Depth(p, turned)
	}
	h.depthErr = err
}

// sample is the diameter in the middle of each section.
func (b *lathe) sample() []calc.Length {
	if b.parted {
		return nil
	}
	d := make([]calc.Length, len(b.sections))
	for i, z := range b.layout.body {
		d[i] = b.work.At(z)
	}
	return d
}

// noteCuts remembers what a cut took off each section.
func (b *lathe) noteCuts(before []calc.Length) {
	if before == nil || b.tool.Kind != sequence.TurningTool || b.swing.set != 0 || b.led.clamped {
		return
	}
	for i, z := range b.layout.body {
		after := b.work.At(z)
		if after >= before[i] || after == 0 {
			continue
		}
		b.sections[i].note(before[i]-after, b.setting, b.step)
	}
}

// note remembers a cut of a depth on diameter.
func (h *history) note(depth calc.Length, setting int, by *sequence.Step) {
	c := h.awaiting
	c.setting = setting
	c.depth, c.step, c.slip = depth, by, h.corrected
	h.awaiting, h.corrected, h.inside = turnedCut{}, 0, false
	h.cuts = append(h.cuts, c)
	if len(h.cuts) > keptCuts {
		h.cuts = append(h.cuts[:0], h.cuts[1:]...)
	}
}

// twoEqualCuts is the check of rule 8 for one section: the last two cuts are
// equal with a reading between. Cuts after that which mend a size found over
// its limit do not count.
func (b *lathe) twoEqualCuts(k int) {
	if s := b.job.Sections[k]; !s.AsBar {
		b.equalCuts(s.Name, &b.sections[k])
		if h := &b.sections[k]; len(h.cuts) > 0 && h.awaiting.read {
			b.proven[s.Name] = h.cuts[len(h.cuts)-1].setting
		}
		b.straight(s.Name, &b.sections[k], s.Diameter.Tolerance())
	}
}

// equalCuts is that check for a section or a bore of a name.
func (b *lathe) equalCuts(name string, h *history) {
	n := len(h.cuts)
	if n == 0 || b.spoiled[name] {
		return
	}
	for n > 1 && h.cuts[n-1].mended {
		n--
	}
	last := h.cuts[n-1]
	switch {
	case h.inside: // sooner than planned: what was measured right is not cut again
	case n < 2:
		b.faultAt(last.step, TwoEqualCuts, "%s is brought to size in one cut of %s: take two equal ones with a reading between", name, last.depth/2)
	case !last.read && b.proven[name] == b.setting && last.setting == b.setting:
		// The same tool, never moved in the post, at settings that made the part before.
	case !last.read:
		b.faultAt(last.step, TwoEqualCuts, "the last cut of %s has no reading before it", name)
	default:
		before := h.cuts[n-2]
		apart := (last.depth - before.depth).Abs() / 2
		if apart > b.own.Cross.Division()+last.slip/2+same {
			b.faultAt(last.step, TwoEqualCuts, "the last two cuts of %s are %s and %s deep, %s apart, not equal", name, before.depth/2, last.depth/2, apart)
		}
	}
}
