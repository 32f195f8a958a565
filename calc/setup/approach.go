package setup

import "turncue/calc"

// Approach is the way to a position that must be reached in the cutting
// direction. A move that goes the other way first backs off beyond the slack.
type Approach struct {
	BackOff bool        // the slide must go back to Beyond first
	Beyond  calc.Length // at least this far back, from zero, before coming in again
}

// Approach is how a slide standing at from is brought to a position, both from
// zero with inwards positive, so that the last movement is inwards. Outwards by
// less than nothing needs no back-off; any move out goes the slack further.
// Standing on the position already needs none either.
func (d Dial) Approach(from, to calc.Length) Approach {
	if to >= from {
		return Approach{}
	}
	return Approach{BackOff: true, Beyond: to - d.Slack}
}

// Advance is one movement of the ring from a reading.
type Advance struct {
	Crossings int         // how often the zero of the ring passes the mark
	Reading   calc.Length // what the ring shows at the end
	LastTurn  calc.Length // marked distance from the start at which the last turn begins; 0 in the first turn
	Turns     int         // whole turns in the movement
}

// Advance is what is seen on the ring while the slide goes inwards by a travel,
// starting at a reading. The travel is true slide travel; readings are what the
// ring says.
func (d Dial) Advance(reading, travel calc.Length) Advance {
	m := d.marked()
	if m <= 0 || d.Travel <= 0 || travel < 0 {
		return Advance{Reading: reading}
	}
	moved := scale(m, int64(travel), int64(d.Travel))
	end := reading + moved
	turns := int(moved / m)
	return Advance{
		Crossings: int(end.Floor(m)/m - reading.Floor(m)/m),
		Reading:   end - end.Floor(m),
		LastTurn:  calc.Length(turns) * m,
		Turns:     turns,
	}
}
