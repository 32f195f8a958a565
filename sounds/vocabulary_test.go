package sounds

import (
	"regexp"
	"strings"
	"testing"
)

func TestParseVocabularyRefuses(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ text, says string }{
		{"nine|nine|word", "vocabulary.txt:1: "},
		{"nine|nine|word|mid|x", "has 5 fields"},
		{"# ok\n\nnine||word|mid", "vocabulary.txt:3: name and text"},
		{"|nine|word|mid", "must both be given"},
		{"Nine|nine|word|mid", "lower case"},
		{"nine  ten|nine|word|mid", "single spaces"},
		{"nine|nine|song|mid", `melody "song"`},
		{"nine|nine|word|end", `place "end"`},
		{"nine|nine|word|mid\nnine|nine|word|mid", "already on line 1"},
		{"half nuts|x|word|mid\nhalf-nuts|x|word|mid", "the clip half-nuts.mp3 already belongs to line 1"},
	} {
		if _, err := parseVocabulary(c.text); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%q: error %v, want one with %q", c.text, err, c.says)
		}
	}
	if len(Vocabulary()) < 150 {
		t.Errorf("only %d entries", len(Vocabulary()))
	}
}

// The eye and the hand stop the carriage. No clip can be used to call the instant or
// to count down to it, and winding a tool "out" always names the slide.
func TestNothingCallsAStop(t *testing.T) {
	t.Parallel()
	callsStop := regexp.MustCompile(`\b(stop now|now stop|halt|stop the (carriage|feed|cut|tool)|stop at|open the half-nuts now|tool out)\b`)
	for _, e := range Vocabulary() {
		if e.Name == "go" || e.Name == "now" || e.Name == "stop" {
			t.Errorf("clip %q alone calls an instant", e.Name)
		}
		if m := callsStop.FindString(e.Name + " / " + e.Text); m != "" {
			t.Errorf("clip %q says %q", e.Name, m)
		}
	}
	for _, b := range Beeps() {
		if m := callsStop.FindString(b.Meaning()); m != "" {
			t.Errorf("beep %v means %q", b, m)
		}
	}
}

func TestSpelledLettersAreCapitals(t *testing.T) {
	t.Parallel()
	for word, want := range map[string]string{
		"m": "M", "u n c": "U N C", "u n e f": "U N E F", "by": "by", "of an inch": "of an inch", "at": "at", ",": ",",
	} {
		if got := shown(word); got != want {
			t.Errorf("%q is shown %q, want %q", word, got, want)
		}
	}
}
