package main

import (
	"bufio"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/sequence"
	"turncue/sequence/bench"
	"turncue/sequence/runner"
	"turncue/sequence/runner/practise"
)

func practiseCommand(s streams) *cobra.Command {
	var lathe string
	var from int
	c := &cobra.Command{
		Use:   "practise [JOB]",
		Short: "Go through a job with no lathe: set the rings, choose what comes next, see what a mistake does",
		Long: `Goes through the steps of a job at the virtual lathe. Where a ring is set, type
the turns, the reading and the last movement: 1 turn 0.42 in. Where there is more than
one thing that could be done, type its number. Where something is measured, type the
size. Everything else is done with enter, or next.

A wrong answer is carried out on the virtual lathe: what it would have done to the
part and the tool is printed, and the step is asked again. score prints the score so
far, stop ends. Nothing is kept, and no lathe is needed.`,
		Args: oneJob,
		RunE: func(c *cobra.Command, args []string) error {
			w, err := load(first(args), lathe)
			if err != nil {
				return err
			}
			w.doubt(s.err)
			p, err := newPractice(w, s.in, c.OutOrStdout())
			if err != nil {
				return err
			}
			if from < 1 || from > len(w.plan.Steps) {
				return usage{fmt.Sprintf("--from %d: the job has the steps 1 to %d", from, len(w.plan.Steps))}
			}
			p.passOver(from)
			return p.lead()
		},
	}
	latheFlag(c, &lathe)
	c.Flags().IntVar(&from, "from", 1, "begin at step `N`; those before count as done")
	return c
}

// practice is one learner at the virtual lathe.
type practice struct {
	work  *work
	state runner.State
	in    *bufio.Scanner
	out   printer
	score practise.Score
	over  bool
}

func newPractice(w *work, in io.Reader, out io.Writer) (*practice, error) {
	state, err := runner.Start(runner.Setup{Plan: w.plan, Replan: w.replan})
	if err != nil {
		return nil, err
	}
	scan := bufio.NewScanner(in)
	scan.Buffer(nil, 8<<10)
	p := &practice{work: w, in: scan, out: printer{to: out}}
	p.state, _ = runner.Next(state, runner.Event{Kind: runner.Begin{}})
	return p, nil
}

// passOver does the steps before one as they should be done.
func (p *practice) passOver(to int) {
	for n, _ := p.state.Position(); n < to && p.state.Phase() == runner.Running; n, _ = p.state.Position() {
		before := n
		p.confirm()
		if n, _ = p.state.Position(); n == before {
			return
		}
	}
}

// confirm does the step as it should be done.
func (p *practice) confirm() {
	st := p.state.Step()
	var k runner.Kind = runner.Advance{}
	switch st.Needs {
	case sequence.NeedReading:
		k = runner.Reading{Value: truth(st.Measure)}
	case sequence.NeedFit:
		k = runner.Answer{Fit: sequence.Fits}
	}
	p.state, _ = runner.Next(p.state, runner.Event{Kind: k})
}

// truth is what the virtual work measures: the size wanted, and half of the run-out that
// is let pass.
func truth(m *sequence.Measure) calc.Length {
	if m.What == sequence.MeasureRunOut {
		return calc.Mid(0, m.Max).Floor(10 * calc.Micrometre)
	}
	return m.Nominal
}

// lead asks step after step until the part is finished or the input ends.
func (p *practice) lead() error {
	for !p.over && p.state.Phase() == runner.Running {
		p.step()
		if p.out.err != nil {
			return p.out.err
		}
	}
	if p.state.Phase() == runner.Done {
		p.out.line("The part is finished, and inside its limits.")
	}
	for _, line := range p.score.Lines() {
		p.out.line("%s", line)
	}
	return p.out.err
}

// step asks everything that is asked at one step.
func (p *practice) step() {
	n, of := p.state.Position()
	st := p.state.Step()
	heading := string(st.Op)
	if what := p.state.Plan().What(st.Section); what != "" {
		heading += ", " + what
	}
	p.out.line("")
	p.out.line("step %d of %d  %s", n, of, heading)
	for _, line := range folded(st.Cue.Text(), 76) {
		p.out.line("  %s", line)
	}
	x := practise.For(p.state.Plan(), p.work.job, p.work.lathe, n-1)
	if len(x.Choices) > 0 && !p.choose(x) {
		return
	}
	for _, r := range x.Rings {
		if !p.set(r) {
			return
		}
	}
	switch {
	case st.Needs == sequence.NeedReading:
		p.read(st)
	case st.Needs == sequence.NeedFit:
		p.gauge()
	default:
		if len(x.Choices)+len(x.Rings) == 0 && !p.done() {
			return
		}
		p.confirm()
	}
}

// ask is the next line of the learner; false when there is none, or the practice is to
// end.
func (p *practice) ask(prompt string) (string, bool) {
	for {
		p.out.line("  > %s", prompt)
		if p.out.err != nil || !p.in.Scan() {
			p.over = true
			return "", false
		}
		line := strings.Join(strings.Fields(p.in.Text()), " ")
		switch line {
		case "stop":
			p.over = true
			return "", false
		case "score":
			for _, line := range p.score.Lines() {
				p.out.line("  %s", line)
			}
		case "why":
			p.out.line("  %s", p.state.Step().Why)
			for _, line := range runner.Heed(p.state.Step()) {
				p.out.line("  %s", line)
			}
		default:
			return line, true
		}
	}
}

func (p *practice) done() bool {
	for {
		line, ok := p.ask("next")
		if !ok || line == "next" || line == "" {
			return ok
		}
		p.out.line("  nothing is asked here: next, when it is done")
	}
}

func (p *practice) choose(x practise.Exercise) bool {
	for i, c := range x.Choices {
		p.out.line("  %d  %s", i+1, c.Text)
	}
	for {
		line, ok := p.ask("what do you do? the number")
		if !ok {
			return false
		}
		n, err := strconv.Atoi(line)
		if err != nil || n < 1 || n > len(x.Choices) {
			p.out.line("  a number from 1 to %d", len(x.Choices))
			continue
		}
		c := x.Choices[n-1]
		if c.Right {
			p.score.Right(practise.NextAction)
			p.out.line("  right")
			return true
		}
		i := p.at()
		p.mistake(practise.NextAction, c.With(p.state.Plan(), i))
	}
}

// at is the index of the step.
func (p *practice) at() int {
	n, _ := p.state.Position()
	return n - 1
}

func (p *practice) set(r practise.Ring) bool {
	for {
		line, ok := p.ask(fmt.Sprintf("set the %s ring: turns, reading, in or out", slideName(r.Slide)))
		if !ok {
			return false
		}
		s, err := r.Parse(line)
		if err != nil {
			p.out.line("  %v", err)
			continue
		}
		if r.Right(s) {
			p.score.Right(practise.SetRing)
			p.out.line("  right")
			return true
		}
		i := p.at()
		if by := r.Deeper(s); by != 0 {
			way := "deeper than"
			if by < 0 {
				way = "short of where"
			}
			p.out.line("  wrong: the tool stands %s %s the plan wants it", by.Abs(), way)
		} else {
			p.out.line("  wrong: that reading is to be reached going %s, the slack taken up", r.Way())
		}
		p.mistake(practise.SetRing, r.With(p.state.Plan(), i, s))
	}
}

func slideName(s sequence.Slide) string {
	if s == sequence.CarriageWays || s == sequence.Sleeve {
		return string(s)
	}
	return string(s) + " slide"
}

// mistake carries a changed plan out and tells what it did. What contradicts the plan
// alone follows from the mistake and is left out where a shop rule is broken.
func (p *practice) mistake(k practise.Kind, spoilt *sequence.Plan) {
	result := bench.Run(spoilt, p.work.job, p.work.lathe)
	rules := []int{}
	tell := func(rule int, msg string) {
		if slices.Contains(rules, rule) {
			return
		}
		rules = append(rules, rule)
		p.out.line("  shop rule %d, %s: %s", rule, practise.Rule(rule), msg)
		p.out.line("    what it does: %s", practise.Does(rule))
	}
	for _, b := range result.Broken {
		if b.Rule != bench.Consistent {
			tell(b.Rule, b.Msg)
		}
	}
	if len(rules) == 0 {
		p.sizes(result, tell)
	}
	if len(rules) == 0 {
		p.out.line("  no rule is broken by it this time, but it is not what was asked: %s", practise.Does(bench.Consistent))
	}
	p.score.Wrong(k, rules...)
	p.out.line("  put right; once more")
}

// sizes tells the sizes of the finished part that a mistake has spoilt.
func (p *practice) sizes(r bench.Result, tell func(int, string)) {
	unit := p.work.job.Unit
	for _, s := range r.Sizes {
		if !s.OK {
			tell(bench.ToSize, fmt.Sprintf("%s of %s is %s, its limits are %s to %s", s.What, s.Section,
				sequence.SizeWord(s.Got, unit), sequence.SizeWord(s.Min, unit), sequence.SizeWord(s.Max, unit)))
		}
	}
}

// read has a size read off an instrument and typed.
func (p *practice) read(st *sequence.Step) {
	p.out.line("  %s", practise.Shown(st, truth(st.Measure)))
	for {
		line, ok := p.ask("what do you read? with its unit")
		if !ok {
			return
		}
		line = strings.TrimPrefix(line, "reading ")
		if last := line[max(0, len(line)-1):]; last != "" && strings.Contains("0123456789.", last) {
			line += unitSuffix(st.Measure.Unit)
		}
		v, err := calc.ParseLength(line)
		if err != nil {
			p.out.line("  %v", err)
			continue
		}
		off := v - truth(st.Measure)
		if off.Abs() <= max(st.Measure.Division, 5*calc.Micrometre) {
			p.score.Right(practise.ReadSize)
			p.out.line("  right")
			p.confirm()
			return
		}
		// What the run would have made of it, on a state that is thrown away.
		after, _ := runner.Next(p.state, runner.Event{Kind: runner.Reading{Value: v}})
		p.out.line("  wrong by %s", off.Abs())
		if notice := after.Frame().Notice; after.Step().ID == st.ID && notice != "" {
			p.out.line("  the run asks: %s", notice)
		} else {
			p.out.line("  the run takes it, and everything after is wrong by that much")
		}
		p.score.Wrong(practise.ReadSize)
	}
}

func (p *practice) gauge() {
	p.out.line("  the gauge goes on by hand from end to end, without shake")
	answers := map[string]bool{"fits": true, "f": true, "tight": false, "t": false, "loose": false, "l": false}
	for {
		line, ok := p.ask("fits, tight or loose?")
		if !ok {
			return
		}
		right, known := answers[line]
		switch {
		case !known:
			p.out.line("  fits, tight or loose")
		case right:
			p.score.Right(practise.ReadSize)
			p.out.line("  right")
			p.confirm()
			return
		default:
			p.score.Wrong(practise.ReadSize)
			p.out.line("  wrong: tight binds on the way, loose shakes; this does neither")
		}
	}
}
