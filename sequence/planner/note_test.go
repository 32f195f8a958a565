package planner_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/job"
	"turncue/sequence/sheet"
)

// The author's notes stand at the first step of what they belong to, on the sheet and in
// the written plan as they were written; the voice only says that there is one.
func TestNotes(t *testing.T) {
	_, l := read(t, "roller", "toolroom")
	text := "part = \"case\"\nmaterial = \"free-machining steel\"\nbar = \"22 mm\"\nstickout = \"60 mm\"\nnote = \"Secret of the job.\"\n" +
		"\n[[section]]\nthread = \"M12x1.5\"\nlength = \"20 mm\"\nundercut = \"regular\"\nnote = \"Secret of the stem.\"\nthread_note = \"Secret of its thread.\"\n" +
		"\n[[section]]\nname = \"head\"\ndiameter = \"18 mm\"\nlength = \"10 mm\"\n" +
		"\n[[bore]]\ndiameter = \"5 mm\"\nby = \"drill\"\ndepth = \"8 mm\"\nnote = \"Secret of the bore.\"\n"
	j, err := job.ParseJob("case.toml", text)
	if err != nil {
		t.Fatal(err)
	}
	p := plan(t, j, l, sequence.Readings{})
	if err := bench.Run(p, j, l).Err(); err != nil {
		t.Fatal(err)
	}
	want := map[string]string{
		"setup/ready": "Secret of the job.", "s1/rough/pass1/set": "Secret of the stem.",
		"s1/thread/touch": "Secret of its thread.",
	}
	want[p.Steps[slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return s.Section == "bore1" })].ID] = "Secret of the bore."
	for _, pace := range []sequence.Pace{sequence.PacePlanned, sequence.PaceFour, sequence.PaceTwo, sequence.PaceWhole} {
		paced := pace.Plan(p)
		var notes []string
		for i := range paced.Steps {
			s := &paced.Steps[i]
			if pace == sequence.PacePlanned && want[s.ID] != "" && s.Note != want[s.ID] {
				t.Errorf("%s has the note %q", s.ID, s.Note)
			}
			said := slices.Contains(s.Cue, sequence.WordReadNote)
			if said != (s.Note != "") || strings.Contains(s.Cue.Text(), "Secret") {
				t.Errorf("at %s presses a pass %s with the note %q says %q", pace, s.ID, s.Note, s.Cue.Text())
			}
			if s.Note != "" {
				notes = append(notes, s.Note)
			}
		}
		if len(notes) != len(want) {
			t.Errorf("at %s presses a pass there are the notes %q", pace, notes)
		}
	}
	b, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	for _, note := range want {
		if strings.Count(string(b), `"note":"`+note+`"`) != 1 {
			t.Errorf("%q is not written once", note)
		}
		if strings.Count(sheet.Table(p), "| Note: "+note+"\n") != 1 {
			t.Errorf("%q is not printed once", note)
		}
	}
}

// Of several equal parts the first has the notes; the second setting has its own.
func TestNotesOfSeveral(t *testing.T) {
	j, l := read(t, "spacers", "toolroom")
	j.Sections[0].Note = "here"
	p := plan(t, j, l, sequence.Readings{})
	n := 0
	for _, s := range p.Steps {
		if s.Note != "" {
			n++
			if s.Part != 1 {
				t.Errorf("%s has the note", s.ID)
			}
		}
	}
	if n != 1 {
		t.Errorf("%d notes", n)
	}
	j, l = read(t, "roller", "toolroom")
	if j.Second == nil {
		t.Fatal("no second setting")
	}
	j.Second.Note = "round it goes"
	p = plan(t, j, l, sequence.Readings{})
	i := slices.IndexFunc(p.Steps, func(s sequence.Step) bool { return s.Note != "" })
	if i < 0 || p.Steps[i].Note != "round it goes" || p.Steps[i].Setting != 2 || p.Steps[i-1].Setting == 2 {
		t.Errorf("the note is at step %d", i+1)
	}
}
