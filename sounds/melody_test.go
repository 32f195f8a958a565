package sounds_test

import (
	"slices"
	"strings"
	"testing"

	"turncue/sounds"
	"turncue/sounds/soundtest"
)

// The sound of a list is that every item falls. What is said in the middle of a sentence
// stays up: the same word is higher there than at the end.
func TestTheVoiceStaysUpUntilTheSentenceEnds(t *testing.T) {
	t.Parallel()
	var higher []float64
	words := 0
	for _, e := range sounds.Vocabulary() {
		if len(e.Places) != 2 {
			continue
		}
		words++
		mid, final := height(t, e.FileAt(sounds.Mid)), height(t, e.FileAt(sounds.Final))
		if mid == 0 || final == 0 {
			t.Errorf("%s: no pitch found", e.Name)
			continue
		}
		if mid < final {
			t.Errorf("%s: %.0f Hz in the middle of a sentence, %.0f at its end", e.Name, mid, final)
		}
		higher = append(higher, mid-final)
	}
	slices.Sort(higher)
	if words < 30 || higher[len(higher)/2] < 8 {
		t.Errorf("%d words have two clips; the middle one is higher by %.0f Hz, want 8 at least", words, higher[len(higher)/2])
	}
	t.Logf("%d words, higher by %.0f to %.0f Hz, half of them by %.0f", words, higher[0], higher[len(higher)-1], higher[len(higher)/2])
}

// height is the mean pitch of the second half of what is voiced in a clip.
func height(t *testing.T, file string) float64 {
	t.Helper()
	x, rate, err := sounds.Decoded(file)
	if err != nil {
		t.Fatal(err)
	}
	hz := slices.DeleteFunc(soundtest.Pitch(x, rate), func(v float64) bool { return v == 0 })
	if len(hz) == 0 {
		return 0
	}
	hz = hz[len(hz)/2:]
	sum := 0.0
	for _, v := range hz {
		sum += v
	}
	return sum / float64(len(hz))
}

// A fragment that something must follow cannot have been spoken as an end.
func TestBeginningsAreSpokenAsSuch(t *testing.T) {
	t.Parallel()
	for _, e := range sounds.Vocabulary() {
		for _, end := range []string{" to", " at", " than", " of", " by", " on line", " before"} {
			if strings.HasSuffix(e.Name, end) && !slices.Equal(e.Places, []sounds.Place{sounds.Mid}) {
				t.Errorf("%q is spoken for the places %v, want mid only", e.Name, e.Places)
			}
		}
	}
}
