package bench

import (
	"regexp"
	"strconv"
	"strings"

	"turncue/sequence"
)

var (
	stopWord = regexp.MustCompile(`(?i)\bstop\b`)
	digit    = regexp.MustCompile(`\d`)
)

// words is the check of rule 10: in a step in which the carriage is driven, no
// sentence tells when to stop by a count, and nothing counts down.
func (b *lathe) words() {
	driven := false
	for _, m := range b.step.Moves {
		c, ok := m.(sequence.Carriage)
		driven = driven || ok && c.By != sequence.ByHandwheel
	}
	if !driven {
		return
	}
	sentence, down, last := "", 0, 0
	for _, w := range append(append(sequence.Cue{}, b.step.Cue...), sequence.FullStop) {
		if n, err := strconv.Atoi(string(w)); err == nil {
			if down++; down > 1 && n != last-1 {
				down = 1
			}
			last = n
			if down >= 3 {
				b.fault(EyeDecides, "the carriage is counted down: %d, %d, %d", n+2, n+1, n)
			}
		} else if w != sequence.Comma && w != sequence.FullStop {
			down = 0
		}
		if w != sequence.FullStop {
			sentence += " " + string(w)
			continue
		}
		if stopWord.MatchString(sentence) && digit.MatchString(sentence) {
			b.fault(EyeDecides, "%q tells when to stop a moving carriage; the eye and the hand decide that", strings.TrimSpace(sentence))
		}
		sentence = ""
	}
}
