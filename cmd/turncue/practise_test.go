package main

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"

	"turncue/calc"
	"turncue/sequence/runner"
	"turncue/sequence/runner/practise"
)

// An apprentice answers every question of a practice rightly, after first answering some
// steps wrongly on purpose.
type apprentice struct {
	t   *testing.T
	p   *practice
	out bytes.Buffer
	// wrong is what to answer first, by step: how the text of a choice begins, a line, or
	// of a ring "ring out", "ring +3 turns" or "ring +0.1".
	wrong map[string]string
	spent map[string]bool
	step  string
	rings int
	n     int
}

func (u *apprentice) Read(b []byte) (int, error) {
	if u.n++; u.n > 20_000 {
		u.t.Errorf("no end at %s", u.step)
		return 0, io.EOF
	}
	line := u.answer() + "\n"
	if len(line) > len(b) {
		return 0, io.ErrShortBuffer
	}
	return copy(b, line), nil
}

func (u *apprentice) answer() string {
	text := strings.TrimRight(u.out.String(), "\n")
	prompt := text[strings.LastIndex(text, "\n")+1:]
	st := u.p.state.Step()
	if st.ID != u.step {
		u.step, u.rings = st.ID, 0
	}
	n, _ := u.p.state.Position()
	x := practise.For(u.p.state.Plan(), u.p.work.job, u.p.work.lathe, n-1)
	wrong, planned := u.wrong[st.ID]
	planned = planned && !u.spent[st.ID]
	switch {
	case strings.Contains(prompt, "the number"):
		for i, c := range x.Choices {
			if planned && strings.HasPrefix(c.Text, wrong) {
				u.spent[st.ID] = true
				return fmt.Sprint(i + 1)
			}
		}
		return fmt.Sprint(slices.IndexFunc(x.Choices, func(c practise.Choice) bool { return c.Right }) + 1)
	case strings.Contains(prompt, "ring: turns"):
		r := x.Rings[u.rings]
		if how, ring := strings.CutPrefix(wrong, "ring "); planned && ring {
			u.spent[st.ID] = true
			if how == "in" || how == "out" {
				return r.Text() + " " + how
			}
			if how == "+3 turns" {
				r.Want.Turns += 3
			} else {
				more, err := calc.ParseLength(how[1:] + " mm")
				if err != nil {
					u.t.Error(err)
				}
				if how[0] == '-' {
					more = -more
				}
				r.Want.Reading += more
			}
			return r.Text() + " " + string(r.Way())
		}
		u.rings++
		return r.Text() + " " + string(r.Way())
	case strings.Contains(prompt, "what do you read"):
		if planned {
			u.spent[st.ID] = true
			return wrong
		}
		return truth(st.Measure).String()
	case strings.Contains(prompt, "fits, tight"):
		return "fits"
	}
	return "next"
}

// goes through a job as the apprentice does and gives what was printed.
func practised(t *testing.T, path string, wrong map[string]string) (*apprentice, string) {
	t.Helper()
	w, err := load(path, "")
	if err != nil {
		t.Fatal(err)
	}
	u := &apprentice{t: t, wrong: wrong, spent: map[string]bool{}}
	if u.p, err = newPractice(w, u, &u.out); err != nil {
		t.Fatal(err)
	}
	if err := u.p.lead(); err != nil {
		t.Fatal(err)
	}
	for id, line := range wrong {
		if !u.spent[id] {
			t.Errorf("%s was never answered with %q", id, line)
		}
	}
	return u, u.out.String()
}

// Every job can be practised to its end with right answers alone, and none of them is
// held to be wrong.
func TestPractiseEveryJob(t *testing.T) {
	for _, path := range goodJobs(t) {
		u, out := practised(t, path, nil)
		if u.p.state.Phase() != runner.Done || strings.Contains(out, "wrong:") || strings.Contains(out, "shop rule") {
			t.Errorf("%s: %s\n%s", path, u.p.state.Phase(), out)
		}
		holds(t, out, "The part is finished", "what comes next", "setting a ring", "reading a size")
	}
}

// Each shop rule broken on purpose is found, named with its number, with what it does,
// and counted; the step is asked again and the job goes on to its end.
func TestPractiseFindsEveryShopRule(t *testing.T) {
	const foot, screwed, bush = "../../testdata/jobs/foot.toml", "../../testdata/jobs/inch-pin.toml", "../../testdata/jobs/bush.toml"
	for _, c := range []struct {
		rule            int
		job, step, line string
		want            string
	}{
		{1, foot, "s2/rough/pass1/cut", "bring the carriage straight back, the tool where it is", "the carriage goes back"},
		{1, foot, "s1/thread/pass3/clear", "reverse with the tool in the groove, it finds its way", "before the spindle reverses"},
		{2, foot, "s1/thread/pass3/return", "open the half-nuts, wind back by hand, shut them again", "half-nuts"},
		{3, foot, "s2/rough/pass2/set", "ring out", "loose by its slack"},
		{3, foot, "s1/thread/pass2/set", "ring out", "loose by its slack"},
		{3, bush, "bore1/finish/pass2/set", "ring in", "loose by its slack"},
		{9, bush, "bore1/finish/pass3/set", "ring -0.1", ""},
		{1, bush, "bore1/rough/pass1/cut", "ring +5", "in the wall of the bore"},
		{4, foot, "s1/thread/pass4/cut", "leave it running until the tool is through the groove", "groove"},
		{4, foot, "s1/finish/pass2/cut", "ring +5", "s2"},
		{5, foot, "face/touch", "leave it at 1250 rpm", "86.4 m/min"}, // 22 mm: 3.14 x 0.022 x 1250
		{5, foot, "s2/rough/pass1/set", "ring +3 turns", "turning 6.42 mm deep"},
		{6, foot, "setup/key", "leave the key in the chuck, it is needed again soon", "key in the chuck"},
		{6, foot, "s1/gears/isolate", "leave the plug in, the switch is off", "supply on"},
		{6, foot, "s1/gears/shut", "put the power back and leave the cover open", "cover open"},
		{6, foot, "s1/thread/pass2/return", "switch over to reverse while it still runs forward", "without standing still"},
		{6, foot, "s2/finish/size2", "hold the micrometer on while it runs slowly", "measuring with the spindle turning"},
		{7, screwed, "", "run the spindle in reverse for a better finish", "in reverse with a screwed chuck"},
		{8, foot, "s2/finish/size1", "leave the reading out and take the last cut", "no reading before it"},
		{9, foot, "s2/finish/pass3/set", "ring +0.1", ""},
		{10, foot, "s1/thread/pass5/cut", "count the turns and switch off at", "tells when to stop"},
	} {
		t.Run(fmt.Sprintf("%d %s", c.rule, c.line), func(t *testing.T) {
			if c.step == "" {
				c.step = stepOffering(t, c.job, c.line)
			}
			u, out := practised(t, c.job, map[string]string{c.step: c.line})
			if u.p.state.Phase() != runner.Done {
				t.Errorf("the job does not go on to its end: %s", u.p.state.Step().ID)
			}
			if u.p.score.Broken(c.rule) != 1 {
				t.Errorf("rule %d is counted %d times", c.rule, u.p.score.Broken(c.rule))
			}
			told := ""
			for line := range strings.Lines(out) {
				if told == "" && strings.HasPrefix(line, fmt.Sprintf("  shop rule %d, %s: ", c.rule, practise.Rule(c.rule))) {
					told = line
				}
			}
			if told == "" || !strings.Contains(told, c.want) {
				t.Errorf("rule %d is told as %q, without %q:\n%s", c.rule, told, c.want, around(out, c.line))
			}
			holds(t, out, "what it does: "+practise.Does(c.rule), "put right; once more")
		})
	}
}

// stepOffering is the first step of a job that offers a choice.
func stepOffering(t *testing.T, path, text string) string {
	t.Helper()
	w, err := load(path, "")
	if err != nil {
		t.Fatal(err)
	}
	for i := range w.plan.Steps {
		for _, c := range practise.For(w.plan, w.job, w.lathe, i).Choices {
			if strings.HasPrefix(c.Text, text) {
				return w.plan.Steps[i].ID
			}
		}
	}
	t.Fatalf("%s offers nowhere %q", path, text)
	return ""
}

func around(out, text string) string {
	i := strings.Index(out, "wrong")
	if i < 0 {
		i = strings.Index(out, text)
	}
	if i < 0 {
		return ""
	}
	return out[max(0, i-600):min(len(out), i+900)]
}

// A thimble turn miscounted is asked about as the run would.
func TestPractiseReading(t *testing.T) {
	_, out := practised(t, "../../testdata/jobs/foot.toml", map[string]string{"s2/finish/size2": "16.479"})
	holds(t, out, "the micrometer shows 15.5 on the sleeve, and the thimble stands at 47.9 of 50",
		"wrong by 0.500", "the run asks: 16.479 mm is bigger than before", "reading a size", "  1 wrong")
}

// What is typed wrongly is no mistake of the shop: it is asked again and not counted.
func TestPractiseTyping(t *testing.T) {
	w, err := load("../../testdata/jobs/foot.toml", "")
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	p, err := newPractice(w, strings.NewReader("why\nhello\nnext\n\n9\nx\nscore\nstop\n"), &out)
	if err != nil {
		t.Fatal(err)
	}
	if err := p.lead(); err != nil {
		t.Fatal(err)
	}
	holds(t, out.String(), "Nothing here sees the lathe", "nothing is asked here", "a number from 1 to 2", "nothing was answered")
}

func TestPractiseCommand(t *testing.T) {
	if out := call(t, exitUsage, "practise", "--from", "900"); !strings.Contains(out, "the job has the steps 1 to") {
		t.Errorf("got %q", out)
	}
	out := call(t, exitDone, "practise", "--from", "13", "../../testdata/jobs/foot.toml")
	holds(t, out, "step 13 of ", "  rough, 16 mm h9", "set the cross slide ring", "nothing was answered")
}

// A mistake of a reading off the ring that no rule names is still a mistake.
func TestPractiseSmallSlip(t *testing.T) {
	u, out := practised(t, "../../testdata/jobs/foot.toml", map[string]string{"s2/rough/pass3/set": "ring -0.02"})
	holds(t, out, "wrong: the tool stands 0.02 mm short of where the plan wants it", "no rule is broken by it this time")
	if got := strings.Join(u.p.score.Lines(), "\n"); !strings.Contains(got, "setting a ring") || !strings.Contains(got, " 1 wrong") {
		t.Errorf("score %s", got)
	}
}
