package cutting

import (
	"fmt"
	"math"
	"time"

	"turncue/calc"
)

// Stop is what it takes to stop a carriage that a closed half-nut drives.
type Stop struct {
	Lead  calc.Lead
	Delay time.Duration // from seeing to power off: the hand's, and what a cue adds
	Coast Coast
}

// The delays to plan with (common practice): the hand on the switch, the usual
// one, and an apprentice or two hands doing different things.
const (
	DelayReady      = 400 * time.Millisecond
	DelayUsual      = 600 * time.Millisecond
	DelayApprentice = time.Second
)

// Coast is how a spindle runs down with the power off. The zero Coast stops at
// once.
type Coast struct {
	Time  time.Duration // the same at every speed: an electronic brake
	Turns float64       // or the turns measured at a speed, growing with its square: belts and friction
	At    calc.Speed    // the speed they were measured at
}

// Friction is the coast of a plain motor from a time measured at a speed.
func Friction(t time.Duration, at calc.Speed) Coast {
	return Coast{Turns: at.PerMinute() / 60 * t.Seconds() / 2, At: at}
}

// Check refuses a coast that is half given.
func (c Coast) Check() error {
	switch {
	case c.Time < 0 || c.Turns < 0 || c.At < 0:
		return fmt.Errorf("coast below zero")
	case (c.Turns > 0) != (c.At > 0):
		return fmt.Errorf("coast of %g turns at %s: give both the turns and the speed they were measured at", c.Turns, c.At)
	case c.Time > 0 && c.Turns > 0:
		return fmt.Errorf("coast given as a time and as turns: give one")
	}
	return nil
}

// turns is the turns the spindle coasts from a speed, with a steady slow-down.
func (c Coast) turns(n float64) float64 {
	if c.At > 0 {
		r := n / c.At.PerMinute()
		return c.Turns * r * r
	}
	return n / 60 * c.Time.Seconds() / 2
}

// Check refuses what nothing can be worked out from.
func (s Stop) Check() error {
	switch {
	case s.Lead.Sign() <= 0:
		return fmt.Errorf("no lead: give the thread's, such as 1.75 mm or 16 tpi")
	case s.Delay < 0:
		return fmt.Errorf("delay %s is below zero", s.Delay)
	case s.Delay > 10*time.Second:
		return fmt.Errorf("delay %s is longer than anyone takes: give one in tenths of a second", s.Delay)
	}
	return s.Coast.Check()
}

// Turns is the turns of the spindle from seeing to standstill.
func (s Stop) Turns(n calc.Speed) float64 {
	v := n.PerMinute()
	return v/60*s.Delay.Seconds() + s.Coast.turns(v)
}

// Travel is how far the carriage runs on, from seeing to standstill, rounded to
// the nanometre. It is also how far before the end of the groove the power has to
// be given up, which is a place to mark on the bed beforehand and never a cue.
func (s Stop) Travel(n calc.Speed) calc.Length {
	return calc.Millimetres(s.Lead.Millimetres() * s.Turns(n))
}

// MaxSpeed is the fastest spindle speed at which the carriage stops within a
// room, rounded down to a thousandth of a turn. With nothing to stop for (no delay
// and no coast) it is zero with ok false. Pulling the tool out or opening the
// half-nut needs no coast: leave it out for that.
func (s Stop) MaxSpeed(room calc.Length) (n calc.Speed, ok bool) {
	p, w, delay := s.Lead.Millimetres(), room.Millimetres(), s.Delay.Seconds()
	if w <= 0 || p <= 0 {
		return 0, true
	}
	var v float64
	if s.Coast.At > 0 && s.Coast.Turns > 0 {
		ref := s.Coast.At.PerMinute()
		a, b := p*s.Coast.Turns/(ref*ref), p*delay/60
		v = (-b + math.Sqrt(b*b+4*a*w)) / (2 * a)
	} else {
		t := delay + s.Coast.Time.Seconds()/2
		if t == 0 {
			return 0, false
		}
		v = 60 * w / (p * t)
	}
	return calc.Speed(math.Min(v, 1e9)*1000) * calc.RPM / 1000, true
}

// Room is what a groove leaves for stopping: its width less the tool's full width
// where it enters and a margin; zero where nothing is left.
func Room(groove, tool, margin calc.Length) calc.Length { return max(0, groove-tool-margin) }

// ByHand says that the spindle has to be turned by hand: the groove is too short
// for the lathe's slowest speed.
func (s Stop) ByHand(room calc.Length, have Speeds) bool {
	n, ok := s.MaxSpeed(room)
	return ok && n < have.Slowest()
}

// Drift is how far off in time a pass is whose spindle speed is off by a share:
// why a time is no cue to stop.
func Drift(length calc.Length, lead calc.Lead, n calc.Speed, share float64) time.Duration {
	turns, err := lead.Turns(length)
	if err != nil {
		return 0
	}
	return time.Duration(float64(n.Time(turns)) * share)
}

// DiscInertia is the moment of inertia in kg m2 of a solid steel disc: a chuck.
func DiscInertia(diameter, length calc.Length) float64 {
	r, l := diameter.Millimetres()/2000, length.Millimetres()/1000
	m := 7850 * math.Pi * r * r * l
	return m * r * r / 2
}

// CoastTime is how long an inertia in kg m2 coasts from a speed against a friction
// torque.
func CoastTime(inertia float64, n calc.Speed, friction Torque) time.Duration {
	if friction <= 0 {
		return 0
	}
	s := inertia * 2 * math.Pi * n.PerMinute() / 60 / float64(friction)
	return time.Duration(math.Round(s*1e6)) * time.Microsecond
}
