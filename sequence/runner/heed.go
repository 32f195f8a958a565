package runner

import "turncue/sequence"

// Heed is what to look, listen and feel for at a step, for the screen of somebody who
// is new to it: a line each, none where there is nothing to say. All of it is common
// practice, and none of it says when to stop a moving carriage.
func Heed(st *sequence.Step) []string {
	if len(st.Parts) > 0 {
		var lines []string
		for i := range st.Parts {
			lines = append(lines, Heed(&st.Parts[i])...)
		}
		return lines
	}
	for _, m := range st.Moves {
		switch m := m.(type) {
		case sequence.Hold:
			return []string{"Look: all three jaws bear along their length, the bar seated.", "Feel: the key turned firmly, by hand alone."}
		case sequence.Gears:
			return []string{"Look: read the number on every wheel aloud.", "Feel: a little shake between the teeth at every mesh, all the way round."}
		case sequence.Gauge:
			return []string{"Feel: on by hand from end to end, no force and no shake."}
		case sequence.Seat:
			return []string{"Look: light on both sides of the point vanishes together.", "Feel: the spindle is not moved; both handles arrive inwards."}
		case sequence.Zero:
			return zeroHeed(m)
		case sequence.Tailstock:
			return []string{"Look: oil, and swarf coming out of both flutes.", "Listen: a squeal means dull or too fast; back it out."}
		}
		if sequence.Cuts(m) {
			return cutHeed(st)
		}
	}
	switch {
	case st.Measure != nil:
		return []string{"Look: work and faces wiped, the zero of the instrument tried.", "Feel: the same light touch every time; read it twice."}
	case st.Phase == sequence.PhaseReturn && st.Op == sequence.OpThread && byHand(st):
		return []string{"Look: the tool is outside the work all the way back, and stops in front of it.", "Feel: the half-nut lever is up before the wheel turns."}
	case st.Phase == sequence.PhaseReturn:
		return []string{"Look: the tool is outside the work all the way back.", "Listen: the leadscrew turns the whole way; the half-nuts never click."}
	case st.Phase == sequence.PhaseSet:
		return []string{"Look: straight at the line of the ring, not from the side.", "Feel: past the reading? Out beyond the slack, and in again."}
	}
	return nil
}

func zeroHeed(m sequence.Zero) []string {
	if m.On == sequence.InPlace {
		return []string{"Feel: hold the handle still and move only the ring."}
	}
	return []string{"Look: the first dust of metal on the tip, no more.", "Feel: hold the handle still and move only the ring."}
}

func cutHeed(st *sequence.Step) []string {
	switch st.Op {
	case sequence.OpThread:
		return []string{"Look: at the tip and the groove, at nothing else, a hand at the switch.", "Listen: an even whisper; a tearing sound means oil or a lighter pass."}
	case sequence.OpKnurl:
		return []string{"Look: one clean set of lines, oil on it, no flakes of metal rolled into it.", "Feel: both wheels turn freely; a wheel that sticks spoils the knurl."}
	case sequence.OpUndercut, sequence.OpGroove, sequence.OpPartOff:
		return []string{"Look: the swarf comes out of the slot and does not pack.", "Listen: a steady sizzle; a hum is chatter: feed on, or run slower."}
	}
	return []string{"Look: swarf that curls and breaks; long strings are hooked away, spindle stopped.", "Listen: an even hiss; a squeal is chatter: feed more, run slower, or stick out less."}
}

// byHand says that the carriage is wound by its wheel in a step.
func byHand(st *sequence.Step) bool {
	for _, m := range st.Moves {
		if m, ok := m.(sequence.Carriage); ok && m.By == sequence.ByHandwheel {
			return true
		}
	}
	return false
}
