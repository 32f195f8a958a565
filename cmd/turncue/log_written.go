package main

import (
	"encoding/csv"
	"encoding/json"
	"io"
	"strconv"
	"strings"
	"time"

	"turncue/calc"
	"turncue/sequence/runner"
)

// logSchema names the written form of the log.
const logSchema = "turncue.log/1"

type runJSON struct {
	Schema     string        `json:"schema"`
	Number     int           `json:"number,omitempty"` // in the list
	Journal    string        `json:"journal"`
	Part       string        `json:"part"`
	Job        string        `json:"job"`
	Lathe      string        `json:"lathe"`
	Begun      time.Time     `json:"begun"`
	Last       time.Time     `json:"last"`
	Finished   bool          `json:"finished"`
	Step       int           `json:"step,omitempty"`
	Of         int           `json:"of,omitempty"`
	Who        string        `json:"who,omitempty"`
	Learner    string        `json:"learner,omitempty"`
	Instructor string        `json:"instructor,omitempty"`
	Partial    string        `json:"partial,omitempty"`
	Damage     string        `json:"damage,omitempty"`
	SetBack    []setBackJSON `json:"clock_set_back,omitempty"`
	Steps      []toldJSON    `json:"steps,omitempty"`
}

type setBackJSON struct {
	Record int     `json:"record"`
	Step   string  `json:"step"`
	ByS    float64 `json:"by_s"`
}

type toldJSON struct {
	N        int          `json:"n,omitempty"`
	ID       string       `json:"id"`
	Section  string       `json:"section"`
	Title    string       `json:"title,omitempty"`
	Text     string       `json:"text,omitempty"`
	From     time.Time    `json:"from"`
	To       *time.Time   `json:"to"` // null while not confirmed
	SpentS   float64      `json:"spent_s"`
	SignedBy string       `json:"signed_by,omitempty"`
	Answers  []answerJSON `json:"answers,omitempty"`
	Notes    []noteJSON   `json:"notes,omitempty"`
}

type answerJSON struct {
	Time     time.Time     `json:"t"`
	Readings []json.Number `json:"readings_mm,omitempty"`
	SpreadMM json.Number   `json:"spread_mm,omitempty"`
	MinMM    json.Number   `json:"min_mm,omitempty"`
	MaxMM    json.Number   `json:"max_mm,omitempty"`
	Fit      string        `json:"fit,omitempty"`
	Signed   string        `json:"signed,omitempty"`
	Result   string        `json:"result"`
	Stands   bool          `json:"stands"`
}

type noteJSON struct {
	Time time.Time `json:"t"`
	Text string    `json:"text"`
}

func millimetres(l calc.Length) json.Number { return json.Number(l.Trimmed(calc.Millimetre, 6)) }

func runOf(h runner.History, number int) runJSON {
	r := runJSON{
		Schema: logSchema, Number: number, Journal: h.Path, Part: h.Head.Part, Job: h.Head.JobPath, Lathe: h.Head.LathePath,
		Begun: h.Begun, Last: h.Last(), Finished: h.Ended, Step: h.N, Of: h.Of,
		Who: h.Head.Who, Learner: h.Head.Learner, Instructor: h.Head.Instructor,
	}
	if h.Damage != nil {
		r.Damage = h.Damage.Error()
	}
	if h.Partial != nil {
		r.Partial = h.Partial.Error()
	}
	for _, b := range h.SetBack {
		r.SetBack = append(r.SetBack, setBackJSON{b.Record, b.Step, b.By.Seconds()})
	}
	return r
}

func writeListJSON(out io.Writer, all []runner.History) error {
	runs := make([]runJSON, len(all))
	for i, h := range all {
		runs[i] = runOf(h, i+1)
	}
	return encode(out, struct {
		Schema string    `json:"schema"`
		Runs   []runJSON `json:"runs"`
	}{logSchema, runs})
}

func encode(out io.Writer, v any) error {
	e := json.NewEncoder(out)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

func writeLogJSON(out io.Writer, h runner.History) error {
	r := runOf(h, 0)
	for _, d := range h.Steps {
		t := toldJSON{N: d.N, ID: d.ID, Section: d.Section, Title: d.Title, Text: d.Text, From: d.From, SpentS: d.Spent.Seconds(), SignedBy: d.SignBy}
		if !d.To.IsZero() {
			t.To = &d.To
		}
		for _, a := range d.Answers {
			t.Answers = append(t.Answers, answerOf(d, a))
		}
		for _, n := range d.Notes {
			t.Notes = append(t.Notes, noteJSON(n))
		}
		r.Steps = append(r.Steps, t)
	}
	return encode(out, r)
}

func answerOf(d runner.Told, a runner.Answered) answerJSON {
	w := answerJSON{Time: a.Time, Fit: string(a.Fit), Signed: a.Name, Result: string(a.Result), Stands: a.Stands}
	if a.Reading == nil {
		return w
	}
	for _, l := range append([]calc.Length{*a.Reading}, a.More...) {
		w.Readings = append(w.Readings, millimetres(l))
	}
	if by, ok := a.Spread(); ok {
		w.SpreadMM = millimetres(by)
	}
	if d.Measure != nil {
		w.MinMM, w.MaxMM = millimetres(d.Measure.Min), millimetres(d.Measure.Max)
	}
	return w
}

func writeListCSV(out io.Writer, all []runner.History) error {
	rows := [][]string{{"number", "begun", "last", "part", "job", "lathe", "finished", "step", "of", "who", "learner", "instructor", "damage"}}
	for i, h := range all {
		r := runOf(h, i+1)
		rows = append(rows, []string{
			strconv.Itoa(i + 1), stamp(r.Begun), stamp(r.Last), r.Part, r.Job, r.Lathe, strconv.FormatBool(r.Finished),
			blankZero(r.Step), blankZero(r.Of), r.Who, r.Learner, r.Instructor, r.Damage,
		})
	}
	return writeCSV(out, rows)
}

// writeLogCSV prints a line for each step that had no answer and one for each answer
// and note of the others.
func writeLogCSV(out io.Writer, h runner.History) error {
	rows := [][]string{{"n", "step", "section", "title", "text", "from", "to", "spent_s", "time", "reading_mm", "more_mm", "spread_mm", "min_mm", "max_mm", "fit", "result", "stands", "who", "note"}}
	owner := h.Head.Learner
	if owner == "" {
		owner = h.Head.Who
	}
	for _, d := range h.Steps {
		base := []string{blankZero(d.N), d.ID, d.Section, d.Title, d.Text, stamp(d.From), stamp(d.To), strconv.FormatFloat(d.Spent.Seconds(), 'f', 1, 64)}
		add := func(rest ...string) { rows = append(rows, append(base[:len(base):len(base)], rest...)) }
		if len(d.Answers)+len(d.Notes) == 0 {
			add("", "", "", "", "", "", "", "", "", owner, "")
		}
		for _, a := range d.Answers {
			w := answerOf(d, a)
			reading, more := "", []string(nil)
			for i, v := range w.Readings {
				if i == 0 {
					reading = v.String()
					continue
				}
				more = append(more, v.String())
			}
			by := owner
			if a.Name != "" {
				by = a.Name
			}
			add(stamp(a.Time), reading, strings.Join(more, " "), w.SpreadMM.String(), w.MinMM.String(), w.MaxMM.String(), w.Fit, w.Result, strconv.FormatBool(w.Stands), by, "")
		}
		for _, n := range d.Notes {
			add(stamp(n.Time), "", "", "", "", "", "", "", "", owner, n.Text)
		}
	}
	return writeCSV(out, rows)
}

func writeCSV(out io.Writer, rows [][]string) error {
	w := csv.NewWriter(out)
	if err := w.WriteAll(rows); err != nil {
		return err
	}
	w.Flush()
	return w.Error()
}

// stamp is a moment as CSV has it; blank for none.
func stamp(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format("2006-01-02T15:04:05.000Z")
}

func blankZero(n int) string {
	if n == 0 {
		return ""
	}
	return strconv.Itoa(n)
}
