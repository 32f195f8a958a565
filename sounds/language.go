package sounds

import (
	"bufio"
	"embed"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

//go:embed language/*.txt
var languages embed.FS

// A Language says the parts of a cue as sentences and writes numbers on a screen. It
// is a list of fragments and one number grammar. English is the language of the clips;
// others are spoken by a program ([Program]).
type Language struct {
	code      string
	comma     bool                                // the sign before decimal places is a comma
	fragments map[string]string                   // by the name of the vocabulary; nil where that is the text
	quantity  func(part string) ([]string, error) // the number grammar
	join      func(words []string) string
}

// English is how the vocabulary itself reads.
var English = &Language{code: "en", quantity: Words, join: Speak}

// LanguageNamed gives the language of a code of ISO 639-1: "en" or "de".
func LanguageNamed(code string) (*Language, error) {
	switch code {
	case "", "en":
		return English, nil
	case "de":
		return german(), nil
	}
	return nil, fmt.Errorf("language %q is not there: en or de", code)
}

// String is the code.
func (l *Language) String() string { return l.code }

var german = sync.OnceValue(func() *Language {
	fragments, err := readFragments("language/de.txt")
	if err != nil {
		panic(err) // a broken build, caught by the first test that runs
	}
	return &Language{
		code: "de", comma: true, fragments: fragments,
		quantity: germanQuantity,
		join:     func(w []string) string { return strings.Join(w, " ") },
	}
})

// readFragments reads lines name|text; '#' opens a comment line.
func readFragments(file string) (map[string]string, error) {
	data, err := languages.ReadFile(file)
	if err != nil {
		return nil, err
	}
	found := map[string]string{}
	sc := bufio.NewScanner(strings.NewReader(string(data)))
	for n := 1; sc.Scan(); n++ {
		line := strings.TrimSpace(sc.Text())
		if line == "" || line[0] == '#' {
			continue
		}
		name, text, ok := strings.Cut(line, "|")
		_, known := vocabulary().byName[name]
		switch {
		case !ok || text == "":
			return nil, fmt.Errorf("%s:%d: %q is not name|text", file, n, line)
		case !known:
			return nil, fmt.Errorf("%s:%d: %q is not in the vocabulary", file, n, name)
		case found[name] != "":
			return nil, fmt.Errorf("%s:%d: %q is there twice", file, n, name)
		}
		found[name] = text
	}
	return found, sc.Err()
}

// Part is one part of a cue as it is said.
func (l *Language) Part(part string) (string, error) {
	if part == Stop || part == Comma {
		return part, nil
	}
	if text, ok := l.fragments[part]; ok {
		return text, nil
	}
	words, err := l.quantity(part)
	if err != nil {
		return "", err
	}
	return l.join(words), nil
}

// Sentences are the parts of a cue as a person would read them aloud, numbers in
// words: "Pass seven of nine." What a [Program] is given.
func (l *Language) Sentences(parts []string) (string, error) { return l.put(parts, l.Part) }

// Written are the parts of a cue as sentences on a screen, numbers in figures.
func (l *Language) Written(parts []string) (string, error) {
	return l.put(parts, func(part string) (string, error) {
		if text, ok := l.fragments[part]; ok {
			return text, nil
		}
		if _, err := l.Part(part); err != nil {
			return "", err
		}
		if l.fragments != nil {
			part = germanUnits(part)
		}
		return l.Figures(part), nil
	})
}

func (l *Language) put(parts []string, say func(string) (string, error)) (string, error) {
	var b strings.Builder
	start := true
	for _, p := range parts {
		text, err := say(p)
		switch {
		case err != nil:
			return "", err
		case p == Stop || p == Comma:
			b.WriteString(p)
			start = p == Stop
			continue
		case b.Len() > 0:
			b.WriteByte(' ')
		}
		if start {
			r, n := utf8.DecodeRuneInString(text)
			text = string(unicode.ToUpper(r)) + text[n:]
		}
		b.WriteString(text)
		start = false
	}
	if b.Len() > 0 && !start {
		b.WriteString(Stop)
	}
	return b.String(), nil
}

var decimal = regexp.MustCompile(`(\d)\.(\d)`)

// Figures writes the decimal numbers in a text with the language's sign.
func (l *Language) Figures(text string) string {
	if !l.comma {
		return text
	}
	return decimal.ReplaceAllString(text, "$1,$2")
}

// Fragments lists the names that the language has a text for, in order.
func (l *Language) Fragments() []string {
	var names []string
	for name := range l.fragments {
		names = append(names, name)
	}
	slices.Sort(names)
	return names
}
