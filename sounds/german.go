package sounds

import (
	"fmt"
	"strconv"
	"strings"
)

// The number grammar of German: DIN 5008 writes the comma, the words are common
// practice. Whole numbers are one word, "neunhundertneunundneunzig"; places are read
// figure by figure, "neun Komma acht acht vier".

var (
	kleine = strings.Fields(`null eins zwei drei vier fünf sechs sieben acht neun zehn elf zwölf dreizehn
		vierzehn fünfzehn sechzehn siebzehn achtzehn neunzehn`)
	zehner = strings.Fields("- - zwanzig dreißig vierzig fünfzig sechzig siebzig achtzig neunzig")
)

// germanCount reads a whole number from 0 to 999 999.
func germanCount(n int) string {
	switch {
	case n >= 1000:
		head := joined(n/1000) + "tausend"
		if n %= 1000; n == 0 {
			return head
		}
		return head + germanCount(n)
	case n >= 100:
		head := joined(n/100) + "hundert"
		if n %= 100; n == 0 {
			return head
		}
		return head + germanCount(n)
	case n < len(kleine):
		return kleine[n]
	case n%10 == 0:
		return zehner[n/10]
	}
	return joined(n%10) + "und" + zehner[n/10]
}

// joined is a number before another word: "ein", "einhundertein".
func joined(n int) string {
	text := germanCount(n)
	if n%100 == 1 {
		text = strings.TrimSuffix(text, "s")
	}
	return text
}

func (n number) german() string {
	text := germanCount(n.whole)
	if n.minus {
		text = "minus " + text
	}
	if n.places != "" {
		text += " Komma"
		for _, d := range n.places {
			text += " " + kleine[d-'0']
		}
	}
	return text
}

// before is the number in front of a noun that is feminine or not.
func (n number) before(feminine bool) string {
	if !n.isOne() {
		return n.german()
	}
	if feminine {
		return "eine"
	}
	return "ein"
}

var germanUnitWords = map[string]struct {
	unit
	feminine bool
}{
	"mm":    {unit{"Millimeter", "Millimeter"}, false},
	"in":    {unit{"Zoll", "Zoll"}, false},
	"thou":  {unit{"Tausendstel Zoll", "Tausendstel Zoll"}, false},
	"turn":  {unit{"Umdrehung", "Umdrehungen"}, true},
	"turns": {unit{"Umdrehung", "Umdrehungen"}, true},
	"rpm":   {unit{"Umdrehung pro Minute", "Umdrehungen pro Minute"}, true},
	"tpi":   {unit{"Gang pro Zoll", "Gänge pro Zoll"}, false},
	"teeth": {unit{"Zahn", "Zähne"}, false},
	"s":     {unit{"Sekunde", "Sekunden"}, true},
	"min":   {unit{"Minute", "Minuten"}, true},
	"deg":   {unit{"Grad", "Grad"}, false},
}

// writtenUnits are how the units are written on a screen where they differ.
var writtenUnits = map[string]string{
	"in": "Zoll", "thou": "Tausendstel Zoll", "turn": "Umdrehung", "turns": "Umdrehungen",
	"rpm": "1/min", "tpi": "Gänge/Zoll", "teeth": "Zähne", "deg": "Grad",
}

// germanUnits writes a quantity with the units of a screen.
func germanUnits(part string) string {
	if a, b, ok := strings.Cut(part, " of "); ok {
		return a + " von " + b
	}
	figures, u, _ := strings.Cut(part, " ")
	if text, ok := writtenUnits[u]; ok {
		return figures + " " + text
	}
	return part
}

// germanQuantity reads what [Words] reads, and refuses what it refuses.
func germanQuantity(part string) ([]string, error) {
	if _, err := Words(part); err != nil {
		return nil, err
	}
	if _, ok := vocabulary().byName[part]; ok {
		return nil, fmt.Errorf("part %q has no German text", part)
	}
	if a, b, ok := strings.Cut(part, " of "); ok {
		x, _, _ := parseNumber(a) // Words has looked
		y, _, _ := parseNumber(b)
		return []string{x.german(), "von", y.german()}, nil
	}
	figures, u, hasUnit := strings.Cut(part, " ")
	if n, is, _ := parseNumber(figures); is {
		if !hasUnit {
			return []string{n.german()}, nil
		}
		if name, ok := germanUnitWords[u]; ok {
			if n.isOne() {
				return []string{n.before(name.feminine), name.one}, nil
			}
			return []string{n.german(), name.many}, nil
		}
	}
	if w, ok := germanFraction(strings.TrimSuffix(part, " in")); ok {
		if strings.HasSuffix(part, " in") {
			w = append(w, "Zoll")
		}
		return w, nil
	}
	return germanThread(part), nil
}

var nenner = map[string]string{"2": "halb", "4": "Viertel", "8": "Achtel", "16": "Sechzehntel", "32": "Zweiunddreißigstel", "64": "Vierundsechzigstel"}

// germanFraction reads "7/16" and "1 1/8": "eins ein Achtel".
func germanFraction(s string) ([]string, bool) {
	top, bottom, ok := strings.Cut(s, "/")
	if !ok {
		return nil, false
	}
	var w []string
	if i := strings.IndexAny(top, " -"); i >= 0 {
		n, is, _ := parseNumber(top[:i])
		if !is {
			return nil, false
		}
		w, top = append(w, n.german()), top[i+1:]
	}
	t, err := strconv.Atoi(top)
	name, known := nenner[bottom]
	if err != nil || !known {
		return nil, false
	}
	if bottom == "2" {
		return append(w, "ein halb"), true
	}
	return append(w, joined(t), name), true
}

// germanThread reads a thread name that [Words] can read: the English words of its
// letters are letters here as well, its numbers are read again.
func germanThread(part string) []string {
	if m := metricName.FindStringSubmatch(part); m != nil {
		form := m[1]
		if form == "Tr" {
			form = "Trapez"
		}
		d, _, _ := parseNumber(m[2])
		w := []string{form, d.german()}
		if m[3] != "" {
			p, _, _ := parseNumber(m[3])
			w = append(w, "mal", p.german())
		}
		w = append(w, germanClass(m[4])...)
		return germanHand(w, m[5])
	}
	if m := inchName.FindStringSubmatch(part); m != nil {
		w := []string{"Nummer"}
		if m[1] == "" {
			w = nil
		}
		tpi, _, _ := parseNumber(m[3])
		w = append(w, germanSize(m[2], m[1] != "")...)
		w = append(w, tpi.german(), spelled(m[4]))
		w = append(w, germanClass(m[5]+m[6])...)
		return germanHand(w, m[7])
	}
	if m := pipeName.FindStringSubmatch(part); m != nil {
		return append([]string{"G"}, germanSize(m[1], false)...)
	}
	if m := baName.FindStringSubmatch(part); m != nil {
		n, _, _ := parseNumber(m[1])
		return []string{n.german(), "B A"}
	}
	return []string{part}
}

func germanSize(size string, numbered bool) []string {
	if w, ok := germanFraction(size); ok {
		return append(w, "Zoll")
	}
	n, _, _ := parseNumber(size)
	if numbered {
		return []string{n.german()}
	}
	return []string{n.before(false), "Zoll"}
}

func germanClass(class string) []string {
	var w []string
	for i, r := range class {
		word := strings.ToUpper(string(r))
		if r >= '0' && r <= '9' {
			word = kleine[r-'0']
		}
		if i == 0 {
			word = "Toleranz " + word
		}
		w = append(w, word)
	}
	return w
}

func germanHand(w []string, hand string) []string {
	if hand == "" {
		return w
	}
	return append(w, "links")
}

func spelled(letters string) string {
	if letters == "ACME" {
		return "Acme"
	}
	return strings.Join(strings.Split(letters, ""), " ")
}
