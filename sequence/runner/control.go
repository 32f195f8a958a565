package runner

import (
	"fmt"
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/sequence"
)

// longestLine is how long a control line may be, in bytes.
const longestLine = 4096

// Commands are the words a control line begins with.
const Commands = "next, back, again, reading, fits, tight, loose, pause, go, note, sign, status, stop"

// ParseControl reads one line of the control protocol:
//
//	next | back | again | pause | go | status | stop
//	reading 16.02mm [16.03mm ...]
//	fits | tight | loose
//	note TEXT
//	sign NAME
//
// Each may be followed by a guard: "next @3" acts only if the step is the third, so a
// line that is repeated cannot advance twice. The guard (zero when there is none) is
// also in the event. An empty line and one that begins with # have an event of no kind.
func ParseControl(line string) (e Event, guard int, err error) {
	if len(line) > longestLine {
		return e, 0, fmt.Errorf("line longer than %d bytes", longestLine)
	}
	line = strings.TrimSpace(line)
	if line == "" || line[0] == '#' {
		return e, 0, nil
	}
	word, rest, _ := strings.Cut(line, " ")
	rest = strings.TrimSpace(rest)
	rest, guard = cutGuard(rest)
	kind, err := parseKind(word, rest)
	if err != nil {
		return e, 0, err
	}
	return Event{Guard: guard, Scripted: true, Kind: kind}, guard, nil
}

// cutGuard takes "@N" off the end. Anything else that follows an @ is text.
func cutGuard(rest string) (string, int) {
	i := strings.LastIndexByte(rest, '@')
	if i < 0 || i > 0 && rest[i-1] != ' ' {
		return rest, 0
	}
	n, err := strconv.ParseUint(rest[i+1:], 10, 31)
	if err != nil || n == 0 {
		return rest, 0
	}
	return strings.TrimSpace(rest[:i]), int(n)
}

func parseKind(word, rest string) (Kind, error) {
	plain := map[string]Kind{
		"next": Advance{}, "back": Back{}, "again": Again{}, "pause": Pause{}, "go": Go{},
		"fits": Answer{sequence.Fits}, "tight": Answer{sequence.Tight}, "loose": Answer{sequence.Loose},
		"status": Status{}, "stop": Halt{},
	}
	if k, ok := plain[word]; ok {
		if rest != "" {
			return nil, fmt.Errorf("%s takes nothing after it, not %q", word, rest)
		}
		return k, nil
	}
	switch word {
	case "reading":
		return parseReading(rest)
	case "note":
		if rest == "" {
			return nil, fmt.Errorf("note needs its text: note TEXT")
		}
		return Note{rest}, nil
	case "sign":
		if rest == "" {
			return nil, fmt.Errorf("sign needs a name: sign NAME")
		}
		return SignOff{rest}, nil
	}
	return nil, fmt.Errorf("unknown command %q (%s)", word, Commands)
}

// parseReading reads one length, or several of the same size apart by blanks. A
// number and its unit may stand apart.
func parseReading(rest string) (Kind, error) {
	if rest == "" {
		return nil, fmt.Errorf("reading needs a length: reading 16.02mm")
	}
	if v, err := calc.ParseLength(rest); err == nil {
		return Reading{Value: v}, nil
	} else if !strings.Contains(rest, " ") {
		return nil, err
	}
	var all []calc.Length
	fields := strings.Fields(rest)
	for i := 0; i < len(fields); i++ {
		text := fields[i]
		if i+1 < len(fields) && isUnit(fields[i+1]) {
			i++
			text += " " + fields[i]
		}
		v, err := calc.ParseLength(text)
		if err != nil {
			return nil, err
		}
		all = append(all, v)
	}
	return Reading{all[0], all[1:]}, nil
}

// isUnit says that a word holds no figure.
func isUnit(word string) bool { return !strings.ContainsAny(word, "0123456789") }
