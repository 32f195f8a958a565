package runner

import (
	"fmt"
	"strings"
	"time"

	"turncue/calc"
	"turncue/sequence"
)

// Result is what came of an event.
type Result string

// The results. Only the first four move the run on.
const (
	Accepted   Result = "accepted"
	MoreCuts   Result = "over size, more cuts" // accepted, and cuts were added
	Confirmed  Result = "confirmed"            // an unlikely reading, accepted at the second time
	Rechecked  Result = "re-checked"
	Questioned Result = "questioned"
	UnderSize  Result = "under size"
	OverSize   Result = "over size"
	WrongLead  Result = "wrong pitch"
	RunOutBad  Result = "too much run-out"
	Misplaced  Result = "misplaced"
	Scattered  Result = "scattered"
	TooLoose   Result = "too loose"
	Impossible Result = "impossible"
	Refused    Result = "refused"
)

// A Record is one line of the journal: an event that changed the state, the step it
// happened at and what came of it. It is also the effect that asks for the line. N
// and Time are filled by the journal; Time is for people only, the order is that of N.
type Record struct {
	N            int           `json:"n"`
	Time         time.Time     `json:"t"`
	Milliseconds int64         `json:"ms"` // since the run was opened
	Event        string        `json:"ev"`
	Step         string        `json:"step,omitempty"`
	Reading      *calc.Length  `json:"reading,omitempty"`
	More         []calc.Length `json:"more,omitempty"`
	Fit          sequence.Fit  `json:"fit,omitempty"`
	Name         string        `json:"name,omitempty"`
	Text         string        `json:"text,omitempty"`
	Result       Result        `json:"result,omitempty"`
	Ended        bool          `json:"ended,omitempty"` // the last step was confirmed
	Head         *Head         `json:"head,omitempty"`  // of the first record only
}

func (r Record) lengths() string {
	if r.Reading == nil {
		return ""
	}
	parts := []string{r.Reading.String()}
	for _, l := range r.More {
		parts = append(parts, l.String())
	}
	return strings.Join(parts, ", ")
}

// record is the line for an event at the step the state is at.
func record(s State, e Event, result Result) Record {
	r := Record{Milliseconds: e.At.Milliseconds(), Event: e.Kind.name(), Step: s.Step().ID, Result: result}
	switch k := e.Kind.(type) {
	case Reading:
		v := k.Value
		r.Reading, r.More = &v, k.More
	case Answer:
		r.Fit = k.Fit
	case Note:
		r.Text = k.Text
	case SignOff:
		r.Name = k.Name
	case Fault:
		r.Text = k.Text
	}
	return r
}

// event is what the record is the line of.
func (r Record) event() (Event, error) {
	e := Event{At: time.Duration(r.Milliseconds) * time.Millisecond}
	switch r.Event {
	case "begin":
		e.Kind = Begin{}
	case "resume":
		e.Kind = Resume{}
	case "advance":
		e.Kind = Advance{}
	case "back":
		e.Kind = Back{}
	case "reading":
		if r.Reading == nil {
			return e, fmt.Errorf("record %d is a reading without a value", r.N)
		}
		e.Kind = Reading{*r.Reading, r.More}
	case "answer":
		e.Kind = Answer{r.Fit}
	case "pause":
		e.Kind = Pause{}
	case "go":
		e.Kind = Go{}
	case "note":
		e.Kind = Note{r.Text}
	case "sign-off":
		e.Kind = SignOff{r.Name}
	case "stop":
		e.Kind = Halt{}
	case "fault":
		e.Kind = Fault{r.Text}
	default:
		return e, fmt.Errorf("record %d holds %q, which this version does not know", r.N, r.Event)
	}
	return e, nil
}

// Replay feeds the records of a journal to Next, from the state Start made, and
// gives the state they lead to. Records that do not belong to this plan are an error
// that names the first such record.
func Replay(records []Record, s State) (State, error) {
	for _, r := range records {
		e, err := r.event()
		if err != nil {
			return s, err
		}
		if at := s.Step().ID; r.Step != at {
			return s, fmt.Errorf("record %d was made at step %s, but this plan is at %s there: the journal belongs to another plan", r.N, r.Step, at)
		}
		next, effects := Next(s, e)
		if got := resultOf(effects); got != r.Result {
			return s, fmt.Errorf("record %d (%s at %s) came out as %q, now it is %q: the journal belongs to another plan", r.N, r.Event, r.Step, r.Result, got)
		}
		s = next
	}
	return s, nil
}

func resultOf(effects []Effect) Result {
	for _, f := range effects {
		if r, ok := f.(Record); ok {
			return r.Result
		}
	}
	return "no effect"
}
