package planner

import (
	"turncue/sequence"
	"turncue/sequence/job"
)

// notes gives the author's notes to the steps they belong to: that of the job to its first
// step, that of a section or a bore to the first step there, that of its thread to the
// first step of the thread, that of the second setting to the first step of that. Of
// several equal parts the first has them.
func (b *build) notes() {
	j := b.drawing
	at := func(note string, is func(*sequence.Step) bool) {
		if note == "" {
			return
		}
		for i := range b.plan.Steps {
			if s := &b.plan.Steps[i]; is(s) {
				if s.Note != "" {
					s.Note += " "
				}
				s.Note += note
				return
			}
		}
		b.warn("nothing is done where this note stands: %s", note)
	}
	at(j.Note, func(*sequence.Step) bool { return true })
	within := func(name, note, thread string) {
		here := func(s *sequence.Step) bool { return s.Section == name && s.Part <= 1 }
		at(note, here)
		at(thread, func(s *sequence.Step) bool { return here(s) && (s.Op == sequence.OpThread || s.Op == sequence.OpTap) })
	}
	sections := func(list []job.Section) {
		for i := range list {
			within(list[i].Name, list[i].Note, list[i].ThreadNote)
		}
	}
	sections(j.Sections)
	bores := func(list []job.Bore) {
		for i := range list {
			within(list[i].Name, list[i].Note, list[i].ThreadNote)
		}
	}
	bores(j.Bores)
	if s := j.Second; s != nil {
		at(s.Note, func(s *sequence.Step) bool { return s.Setting == 2 })
		sections(s.Sections)
		bores(s.Bores)
	}
}
