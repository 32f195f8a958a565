package sounds

import (
	"fmt"
	"strings"
)

// Breaks that may stand as a part of a cue, and as a word.
const (
	Stop  = "." // end of a sentence: 350 ms
	Comma = "," // 150 ms
)

const allowed = `write a fragment of the vocabulary, "." or ",", or a quantity such as ` +
	`"9.884 mm", "0.375 in", "85 thou", "0.35", "3 of 9", "2 turns", "250 rpm", "20 tpi", "45 teeth", ` +
	`"12 s", "4 min", "45 deg", "7/16", "M12x1.75" or "7/16-14 UNC"`

// Words gives the names of the clips that say one part of a cue, in order. A part is
// a fragment of the vocabulary, a break, or a quantity: a number with up to six
// places, spoken with the places as written, alone or with a unit.
//
// Inches are read as the trade reads them: whole inches, then thou, then tenths of a
// thou; what is finer than a tenth is read as decimals of a thou. Fractions stay
// fractions only where they are written so. A minus is said.
//
// The error names the part and what may be written instead.
func Words(part string) ([]string, error) {
	if part == Stop || part == Comma {
		return []string{part}, nil
	}
	if _, ok := vocabulary().byName[part]; ok {
		return []string{part}, nil
	}
	for _, read := range []func(string) ([]string, error){readThread, readQuantity} {
		words, err := read(part)
		if err != nil {
			return nil, fmt.Errorf("part %q: %w; %s", part, err, allowed)
		}
		if words != nil {
			return words, nil
		}
	}
	return nil, fmt.Errorf("part %q is not in the vocabulary and not a quantity; %s", part, allowed)
}

// Speak puts the words of [Words] together as they are read on a screen:
// "three hundred and seventy-five thou". It looks nothing up and cannot fail.
func Speak(words []string) string {
	var b strings.Builder
	for i, w := range words {
		switch {
		case i == 0 || w == Stop || w == Comma:
		case tens[words[i-1]] && units[w]:
			b.WriteByte('-')
		default:
			b.WriteByte(' ')
		}
		b.WriteString(shown(w))
	}
	return b.String()
}

// Text is [Speak] of all parts of a cue.
func Text(parts []string) (string, error) {
	words, err := wordsOf(parts)
	if err != nil {
		return "", err
	}
	return Speak(words), nil
}

func wordsOf(parts []string) ([]string, error) {
	var all []string
	for _, p := range parts {
		words, err := Words(p)
		if err != nil {
			return nil, err
		}
		all = append(all, words...)
	}
	return all, nil
}

// shown is a word as it is written: spelled letters are capitals.
func shown(word string) string {
	for i, r := range word {
		if (i%2 == 0) != (r >= 'a' && r <= 'z') || i%2 == 1 && r != ' ' {
			return word
		}
	}
	return strings.ToUpper(word)
}
