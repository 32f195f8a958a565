package sequence

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// A Pace is how many presses a pass takes: one for each of its four phases (set, cut,
// clear, return), one to set it and one for the rest, or one for the whole of it. The
// zero Pace leaves it as planned: two along the work, four along a thread.
type Pace int

// The paces.
const (
	PacePlanned Pace = 0
	PaceWhole   Pace = 1
	PaceTwo     Pace = 2
	PaceFour    Pace = 4
)

// planned is how the zero Pace is written.
const planned = "planned"

func (p Pace) String() string {
	if p == PacePlanned {
		return planned
	}
	return fmt.Sprint(int(p))
}

// MarshalText and UnmarshalText are the figures 4, 2 and 1, and the word planned.
func (p Pace) MarshalText() ([]byte, error) { return []byte(p.String()), nil }

func (p *Pace) UnmarshalText(b []byte) error {
	for _, known := range []Pace{PacePlanned, PaceWhole, PaceTwo, PaceFour} {
		if string(b) == known.String() {
			*p = known
			return nil
		}
	}
	return fmt.Errorf("%q presses a pass cannot be chosen: 4, 2 or 1, or %s", b, planned)
}

// Plan is a plan at this pace. Its moves and their order are those of the plan; only
// where a press stands between them changes, and what is said goes with its moves.
// Steps with a reading, a gauge or a sign-off, and all outside passes, stay as they are.
//
// It is a pure function: the same plan gives the same plan. Joined steps have the id of
// what they join without the phase ("s1/thread/pass3"), or that of the cut; parts have
// that of the cut with their phase in its place, or behind it where a step has that one.
func (p Pace) Plan(plan *Plan) *Plan {
	if p == PacePlanned || plan == nil {
		return plan
	}
	paced := *plan
	paced.Steps = make([]Step, 0, len(plan.Steps))
	taken := make(map[string]bool, len(plan.Steps))
	for i := range plan.Steps {
		taken[plan.Steps[i].ID] = true
	}
	add := func(s Step) {
		s.N = len(paced.Steps) + 1
		Compose(&s, plan.Unit)
		paced.Steps = append(paced.Steps, s)
	}
	for i := 0; i < len(plan.Steps); {
		s := plan.Steps[i]
		n := p.joined(plan.Steps[i:])
		switch {
		case p == PaceFour && s.Phase == PhaseCut && bare(&s):
			for _, part := range split(s, i > 0 && sets(&plan.Steps[i-1], &s)) {
				if part.Phase != PhaseCut {
					part.ID = strings.TrimSuffix(s.ID, "/"+string(PhaseCut)) + "/" + string(part.Phase)
					if taken[part.ID] {
						part.ID = s.ID + "/" + string(part.Phase)
					}
				}
				add(part)
			}
		case n > 1:
			add(join(plan.Steps[i : i+n]))
		default:
			s.N = len(paced.Steps) + 1
			paced.Steps = append(paced.Steps, s)
		}
		i += n
	}
	return &paced
}

// bare says that a step is confirmed by a press and nothing else.
func bare(s *Step) bool { return s.Needs == NeedPress && s.Measure == nil }

// sets says that a step sets the pass that another cuts.
func sets(s, cut *Step) bool {
	return s.Phase == PhaseSet && s.Beside(cut) && s.Op == cut.Op && s.Pass == cut.Pass
}

// order is the order of the phases within a pass.
var order = []Phase{PhaseSet, PhaseCut, PhaseClear, PhaseReturn}

// joined is how many of the first steps are one at this pace: phases of one pass, each
// later than the one before.
func (p Pace) joined(steps []Step) int {
	first := &steps[0]
	at := slices.Index(order, first.Phase)
	if p == PaceFour || at < 0 || !bare(first) || p == PaceTwo && first.Phase == PhaseSet {
		return 1
	}
	n := 1
	for ; n < len(steps); n++ {
		s := &steps[n]
		next := slices.Index(order, s.Phase)
		if next <= at || !bare(s) || !s.Beside(first) || s.Op != first.Op || s.Pass != first.Pass {
			break
		}
		at = next
	}
	return n
}

// join makes one step of several.
func join(parts []Step) Step {
	s := parts[0]
	s.ID = strings.TrimSuffix(s.ID, "/"+string(PhaseSet))
	s.Parts = slices.Clone(parts)
	s.Opening, s.Closing, s.Cautions, s.Note = nil, nil, nil, ""
	s.Moves, s.Hand, s.Machine, s.Brief = nil, 0, 0, true
	if parts[0].Phase == PhaseSet {
		s.Phase = PhasePass
	}
	var why []string
	for i := range parts {
		part := &parts[i]
		if part.Note != "" { // said once, before all of it
			s.Note = strings.TrimSpace(s.Note + " " + part.Note)
			s.Parts[i].Note = ""
		}
		s.Moves = append(s.Moves, part.Moves...)
		s.Hand += part.Hand
		s.Machine += part.Machine
		s.Brief = s.Brief && part.Brief
		for _, w := range part.Cautions {
			if !slices.Contains(s.Cautions, w) {
				s.Cautions = append(s.Cautions, w)
			}
		}
		if part.Why != "" && !slices.Contains(why, part.Why) {
			why = append(why, part.Why)
		}
		if part.RunsInto != "" {
			s.RunsInto = part.RunsInto
		}
	}
	s.Why = strings.Join(why, " ")
	return s
}

// split makes a step of each phase of a step that cuts. What stands before the first
// cutting move is setting, but for the start of the spindle that is a part of the cut;
// what ends the cut right after the last one is too; slides are then wound clear, and with the
// first move of the carriage the way back begins. Where the pass is set already, all in
// front of the cut is a part of it.
func split(s Step, set bool) []Step {
	first := slices.IndexFunc(s.Moves, Cuts)
	if first < 0 {
		return []Step{s}
	}
	last := first
	for i := first; i < len(s.Moves); i++ {
		if Cuts(s.Moves[i]) {
			last = i
		}
	}
	from, to := first, last+1
	if set || !slices.ContainsFunc(s.Moves[:first], places) {
		from = 0
	}
	for to < len(s.Moves) && ends(s.Moves[to]) {
		to++
	}
	back := to
	for back < len(s.Moves) && winds(s.Moves[back]) {
		back++
	}
	var parts []Step
	for _, piece := range []struct {
		phase    Phase
		from, to int
		why      string
	}{
		{PhaseSet, 0, from, "Where the cut begins."},
		{PhaseCut, from, to, s.Why},
		{PhaseClear, to, back, "The tool off the work before anything goes back."},
		{PhaseReturn, back, len(s.Moves), "Back to where the next cut begins."},
	} {
		if piece.from == piece.to {
			continue
		}
		part := s
		part.Phase, part.Why, part.Moves = piece.phase, piece.why, slices.Clone(s.Moves[piece.from:piece.to])
		part.Opening, part.Closing, part.Note = nil, nil, ""
		if piece.phase != PhaseCut {
			part.Cautions, part.Machine, part.RunsInto = nil, 0, ""
		}
		parts = append(parts, part)
	}
	parts[0].Opening, parts[0].Note = s.Opening, s.Note
	parts[len(parts)-1].Closing = s.Closing
	share(parts, s.Hand)
	return parts
}

// share divides the time of the hands evenly, what is left over to the first.
func share(parts []Step, hand time.Duration) {
	each := hand / time.Duration(len(parts))
	for i := range parts {
		parts[i].Hand = each
	}
	parts[0].Hand += hand - each*time.Duration(len(parts))
}

// places says that a move brings a tool to a place.
func places(m Move) bool {
	switch m.(type) {
	case Shift, Carriage, Plunge, Zero:
		return true
	}
	return false
}

// ends says that a move ends a cut: the tool taken out at a line, the spindle stopped, the half-nuts opened, the feed
// dropped.
func ends(m Move) bool {
	switch m := m.(type) {
	case Spindle:
		return m.Turn == Stop
	case HalfNut:
		return !m.Closed
	case PowerFeed:
		return !m.Engaged
	case Withdraw:
		return true
	}
	return false
}

// winds says that a move is one of a slide, with no metal taken.
func winds(m Move) bool {
	switch m := m.(type) {
	case Shift:
		return !Cuts(m)
	case Plunge:
		return !Cuts(m)
	}
	return false
}
