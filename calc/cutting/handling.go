package cutting

import "time"

// Handling is how long a movement of the hands takes, about. The figures are
// common practice; those of a capstan lathe, the only published ones, are the
// bottom of the range.
type Handling struct {
	ID, Step          string
	Min, Typical, Max time.Duration
}

// handlings is every movement known.
var handlings = []Handling{
	{"speed_lever", "Change spindle speed by lever or knob", 3 * time.Second, 4 * time.Second, 8 * time.Second},
	{"speed_belt", "Change spindle speed by moving a belt (power off)", 45 * time.Second, 75 * time.Second, 150 * time.Second},
	{"feed_lever", "Change feed lever", 3 * time.Second, 4 * time.Second, 8 * time.Second},
	{"feed_engage", "Engage or drop feed / half-nut", 1500 * time.Millisecond, 2 * time.Second, 4 * time.Second},
	{"index_post", "Index a tool turret or post already loaded", 3500 * time.Millisecond, 5 * time.Second, 10 * time.Second},
	{"tool_quick", "Swap a preset quick-change tool holder", 10 * time.Second, 20 * time.Second, 40 * time.Second},
	{"tool_plain", "Change a tool in a plain post and set centre height", 120 * time.Second, 180 * time.Second, 360 * time.Second},
	{"chuck_load", "Load work in a key-operated three-jaw chuck", 20 * time.Second, 35 * time.Second, 90 * time.Second},
	{"fourjaw_true", "Clock true in an independent four-jaw", 120 * time.Second, 360 * time.Second, 900 * time.Second},
	{"threejaw_shim", "Clock, shim and re-clock in a three-jaw", 120 * time.Second, 240 * time.Second, 600 * time.Second},
	{"start_stop", "Start or stop spindle and wait for it to settle", 2 * time.Second, 4 * time.Second, 10 * time.Second},
	{"touch_off", "Touch off and zero a dial", 10 * time.Second, 20 * time.Second, 45 * time.Second},
	{"dial_set", "Set the dial for the next cut incl. backlash take-up", 4 * time.Second, 7 * time.Second, 15 * time.Second},
	{"mic_outside", "Stop, wipe, measure with micrometer, note it", 15 * time.Second, 25 * time.Second, 45 * time.Second},
	{"caliper", "Stop, wipe, measure with caliper", 8 * time.Second, 12 * time.Second, 25 * time.Second},
	{"bore_gauge", "Measure a bore with telescopic gauge and micrometer", 30 * time.Second, 50 * time.Second, 90 * time.Second},
	{"thread_nut", "Try nut or ring gauge", 20 * time.Second, 30 * time.Second, 60 * time.Second},
	{"thread_wires", "Measure over three wires", 45 * time.Second, 75 * time.Second, 150 * time.Second},
	{"pitch_gauge", "Pitch gauge or rule on the scratch pass", 10 * time.Second, 15 * time.Second, 30 * time.Second},
	{"gears_set", "Set a compound change-gear train", 180 * time.Second, 360 * time.Second, 900 * time.Second},
	{"compound_angle", "Set the top slide to an angle", 45 * time.Second, 90 * time.Second, 240 * time.Second},
	{"tailstock_tool", "Fit centre, drill chuck or reamer in the tailstock", 10 * time.Second, 20 * time.Second, 45 * time.Second},
	{"centre_drill", "Centre drill an end", 15 * time.Second, 25 * time.Second, 45 * time.Second},
	{"oil", "Brush on cutting oil", 2 * time.Second, 4 * time.Second, 8 * time.Second},
	{"reverse_setup", "Thread pass overhead: withdraw, reverse, stop, new infeed", 8 * time.Second, 12 * time.Second, 25 * time.Second},
	{"deburr", "Deburr or break an edge", 8 * time.Second, 15 * time.Second, 30 * time.Second},
	{"swarf", "Stop and clear swarf with brush or hook", 8 * time.Second, 15 * time.Second, 40 * time.Second},
	{"cool", "Let a warm part come to room temperature before final sizing", 60 * time.Second, 180 * time.Second, 900 * time.Second},
}

// Handlings is every movement known, as a copy.
func Handlings() []Handling { return append([]Handling(nil), handlings...) }

// HandlingOf is how long a movement takes; ok is false for one not known.
func HandlingOf(id string) (h Handling, ok bool) {
	for _, h := range handlings {
		if h.ID == id {
			return h, true
		}
	}
	return Handling{}, false
}
