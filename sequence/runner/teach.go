package runner

import (
	"fmt"
	"strings"
	"time"

	"turncue/sequence"
)

// Teaching is who learns and who watches. The zero value is an ordinary run.
type Teaching struct{ Learner, Instructor string }

// On says that somebody is being taught.
func (t Teaching) On() bool { return t.Learner != "" }

// longestName is how many bytes a name may have.
const longestName = 60

// Check refuses a teaching that has no two people.
func (t Teaching) Check() error {
	switch {
	case t.Learner == "" && t.Instructor == "":
		return nil
	case t.Learner == "" || t.Instructor == "":
		return fmt.Errorf("teaching takes two: --learner NAME and --instructor NAME")
	case sameName(t.Learner, t.Instructor):
		return fmt.Errorf("%s cannot watch themselves: the instructor is another person", t.Learner)
	}
	for _, name := range []string{t.Learner, t.Instructor} {
		if oneLine(name) != name || len(name) > longestName {
			return fmt.Errorf("%q is no name: one line of at most %d letters", name, longestName)
		}
	}
	return nil
}

// sameName compares names as people type them.
func sameName(a, b string) bool { return strings.EqualFold(oneLine(a), oneLine(b)) }

// Role is who signs a step.
type Role string

// The roles.
const (
	RoleNone       Role = ""
	RoleLearner    Role = "learner"
	RoleInstructor Role = "instructor"
)

const (
	watchedEnd    = "/watched"
	learnerEnd    = "/signed/learner"
	instructorEnd = "/signed/instructor"
	setUpBlock    = "set-up"
	signing       = 10 * time.Second // expected time of a sign-off; common practice
)

// Signs is who signs a step off; RoleNone where nobody does.
func Signs(st *sequence.Step) Role {
	switch {
	case st.Needs != sequence.NeedSignOff:
		return RoleNone
	case strings.HasSuffix(st.ID, learnerEnd):
		return RoleLearner
	}
	return RoleInstructor
}

// BlockLine says that a step is one of the two sign-off lines that end a block.
func BlockLine(st *sequence.Step) bool {
	return strings.HasSuffix(st.ID, learnerEnd) || strings.HasSuffix(st.ID, instructorEnd)
}

// Plan is a plan as it is taught. Nothing of what is done changes; who confirms it
// does:
//
//   - a watched step is confirmed by the instructor's sign-off in place of a press;
//     where it has a reading or an answer of its own, the sign-off is a step after it;
//   - each block (the set-up, and each section of the part) ends with two sign-off
//     lines, the learner's and the instructor's, at the first place from its last
//     step on where the spindle stands still.
//
// Watched are: holding the work, turning it by hand before it is first driven,
// isolating the lathe, the gears and the turning by hand with them; the count over
// the scratch pass; the first cut of each kind; and the last measurement of each
// size or fit (common practice of workshop log books).
//
// It is a pure function: the same plan gives the same taught plan.
func (t Teaching) Plan(p *sequence.Plan) *sequence.Plan {
	if !t.On() || p == nil {
		return p
	}
	taught := *p
	taught.Steps = make([]sequence.Step, 0, len(p.Steps)+len(p.Steps)/4)
	ends := blockEnds(p)
	watched := watchedSteps(p)
	add := func(st sequence.Step) {
		st.N = len(taught.Steps) + 1
		taught.Steps = append(taught.Steps, st)
	}
	for i := range p.Steps {
		st := p.Steps[i]
		switch {
		case !watched[i] || st.Needs == sequence.NeedSignOff:
			add(st)
		case st.Needs == sequence.NeedPress:
			st.Needs = sequence.NeedSignOff
			st.Opening = append(sequence.Cue{sequence.WordNeedsSignOff, sequence.FullStop}, st.Opening...)
			sequence.Compose(&st, p.Unit)
			add(st)
		default:
			add(st)
			add(t.line(p, &st, st.ID+watchedEnd, fmt.Sprintf("%s watched it and read it too.", t.Instructor)))
		}
		for _, block := range ends[i] {
			name := block
			if what := p.What(block); what != "" {
				name += ", " + what
			}
			end := st
			end.Section = block
			if block == setUpBlock {
				end.Section = ""
			}
			add(t.line(p, &end, block+learnerEnd, fmt.Sprintf("%s signs for %s: done as told, and understood.", t.Learner, name)))
			add(t.line(p, &end, block+instructorEnd, fmt.Sprintf("%s signs for %s: watched, and right.", t.Instructor, name)))
		}
	}
	return &taught
}

// line is a step that is nothing but a sign-off.
func (t Teaching) line(p *sequence.Plan, of *sequence.Step, id, why string) sequence.Step {
	st := sequence.Step{
		ID: id, Section: of.Section, Op: of.Op, Place: of.Place, Why: why, Hand: signing,
		Needs: sequence.NeedSignOff, Opening: sequence.Cue{sequence.WordNeedsSignOff},
	}
	sequence.Compose(&st, p.Unit)
	st.Title = "sign-off"
	return st
}

// blockEnds are the blocks that end behind each step, by index.
func blockEnds(p *sequence.Plan) map[int][]string {
	last := map[string]int{}
	var order []string
	for i := range p.Steps {
		block := p.Steps[i].Section
		if block == "" {
			if p.Steps[i].Op != sequence.OpSetUp || p.Steps[i].Part > 0 {
				continue
			}
			block = setUpBlock
		}
		if _, seen := last[block]; !seen {
			order = append(order, block)
		}
		last[block] = i
	}
	ends := map[int][]string{}
	for _, block := range order {
		i := last[block]
		for i < len(p.Steps)-1 && turning(p, i) {
			i++
		}
		ends[i] = append(ends[i], block)
	}
	return ends
}

// turning says that the spindle is under power after step i.
func turning(p *sequence.Plan, i int) bool {
	on := false
	for k := range i + 1 {
		for _, m := range p.Steps[k].Moves {
			if m, ok := m.(sequence.Spindle); ok {
				on = m.Turn == sequence.Forward || m.Turn == sequence.Reverse
			}
		}
	}
	return on
}

// watchedSteps are the steps an instructor is to watch, by index.
func watchedSteps(p *sequence.Plan) map[int]bool {
	watched := map[int]bool{}
	cutOnce := map[sequence.Op]bool{}
	sizes := map[string]int{}
	for i := range p.Steps {
		st := &p.Steps[i]
		for _, m := range st.Moves {
			switch m := m.(type) {
			case sequence.Hold, sequence.Gears:
				watched[i] = true
			case sequence.Supply:
				watched[i] = watched[i] || m.Isolated
			case sequence.Spindle:
				byHand := m.Turn == sequence.ByHand && (st.Op == sequence.OpSetUp || st.Op == sequence.OpGears)
				watched[i] = watched[i] || byHand
			}
			if sequence.Cuts(m) && !cutOnce[st.Op] {
				cutOnce[st.Op] = true
				watched[i] = true
			}
		}
		switch m := st.Measure; {
		case st.Needs == sequence.NeedFit:
			sizes[st.Section+" fit"] = i
		case m == nil || st.Needs != sequence.NeedReading:
		case m.What == sequence.MeasureThreads:
			watched[i] = true
		case m.Final:
			sizes[st.Section+" "+m.What] = i
		}
	}
	for _, i := range sizes {
		watched[i] = true
	}
	return watched
}
