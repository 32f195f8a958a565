package sounds_test

import (
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"turncue/sounds"
)

func languageNamed(t *testing.T, code string) *sounds.Language {
	t.Helper()
	l, err := sounds.LanguageNamed(code)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// How a German turner says each of these; typed by hand, common practice.
var germanTable = []struct{ part, words string }{
	{"0", "null"}, {"1", "eins"}, {"2", "zwei"}, {"6", "sechs"}, {"11", "elf"}, {"12", "zwölf"}, {"16", "sechzehn"},
	{"17", "siebzehn"}, {"20", "zwanzig"}, {"21", "einundzwanzig"}, {"26", "sechsundzwanzig"}, {"30", "dreißig"},
	{"60", "sechzig"}, {"66", "sechsundsechzig"}, {"70", "siebzig"}, {"77", "siebenundsiebzig"}, {"99", "neunundneunzig"},
	{"100", "einhundert"}, {"101", "einhunderteins"}, {"106", "einhundertsechs"}, {"127", "einhundertsiebenundzwanzig"},
	{"375", "dreihundertfünfundsiebzig"}, {"1000", "eintausend"}, {"1001", "eintausendeins"}, {"1200", "eintausendzweihundert"},
	{"6000", "sechstausend"}, {"21000", "einundzwanzigtausend"}, {"101000", "einhunderteintausend"},
	{"999999", "neunhundertneunundneunzigtausendneunhundertneunundneunzig"},
	{"-3", "minus drei"},
	{"0.35", "null Komma drei fünf"}, {"0.05", "null Komma null fünf"}, {"1.98", "eins Komma neun acht"},
	{"9.884 mm", "neun Komma acht acht vier Millimeter"}, {"9.880 mm", "neun Komma acht acht null Millimeter"},
	{"1 mm", "ein Millimeter"}, {"16 mm", "sechzehn Millimeter"}, {"-0.5 mm", "minus null Komma fünf Millimeter"},
	{"0.375 in", "null Komma drei sieben fünf Zoll"}, {"1 in", "ein Zoll"}, {"85 thou", "fünfundachtzig Tausendstel Zoll"},
	{"1 turn", "eine Umdrehung"}, {"2 turns", "zwei Umdrehungen"}, {"13.5 turns", "dreizehn Komma fünf Umdrehungen"},
	{"3 of 9", "drei von neun"}, {"7 of 21", "sieben von einundzwanzig"},
	{"250 rpm", "zweihundertfünfzig Umdrehungen pro Minute"}, {"20 tpi", "zwanzig Gänge pro Zoll"}, {"45 teeth", "fünfundvierzig Zähne"},
	{"1 s", "eine Sekunde"}, {"12 s", "zwölf Sekunden"}, {"4 min", "vier Minuten"}, {"45 deg", "fünfundvierzig Grad"},
	{"7/16", "sieben Sechzehntel"}, {"1/2", "ein halb"}, {"1/4", "ein Viertel"}, {"15/32", "fünfzehn Zweiunddreißigstel"},
	{"7/16 in", "sieben Sechzehntel Zoll"}, {"1 1/8 in", "eins ein Achtel Zoll"},
	{"M10", "M zehn"}, {"M10x1", "M zehn mal eins"}, {"M12x1.75-6g", "M zwölf mal eins Komma sieben fünf Toleranz sechs G"},
	{"M10x1 LH", "M zehn mal eins links"}, {"Tr20x4", "Trapez zwanzig mal vier"},
	{"7/16-14 UNC", "sieben Sechzehntel Zoll vierzehn U N C"}, {"1-8 UNC", "ein Zoll acht U N C"},
	{"#10-24 UNC-2A", "Nummer zehn vierundzwanzig U N C Toleranz zwei A"}, {"G1/2", "G ein halb Zoll"}, {"2 BA", "zwei B A"},
	{"set the speed to", "Drehzahl einstellen auf"}, {",", ","}, {".", "."},
}

func TestGermanWords(t *testing.T) {
	t.Parallel()
	de := languageNamed(t, "de")
	for _, c := range germanTable {
		if got, err := de.Part(c.part); err != nil || got != c.words {
			t.Errorf("%q is said %q (%v), want %q", c.part, got, err, c.words)
		}
	}
	for _, bad := range []string{"9,884 mm", "tool out", "5 furlongs", "9 of 3", ""} {
		if got, err := de.Part(bad); err == nil {
			t.Errorf("%q is said %q, want a refusal", bad, got)
		}
	}
}

// Everything that can be said in English by a clip or a grammar can be said in German,
// and every German line is of use. Number words are of the grammar.
func TestGermanIsWhole(t *testing.T) {
	t.Parallel()
	de := languageNamed(t, "de")
	for _, e := range sounds.Vocabulary() {
		if e.Melody != sounds.Phrase {
			continue
		}
		if text, err := de.Part(e.Name); err != nil || text == "" {
			t.Errorf("%q has no German text: %v", e.Name, err)
		}
	}
	if n := len(de.Fragments()); n < 150 {
		t.Errorf("only %d fragments", n)
	}
	for _, c := range wordsTable {
		if _, isWord := map[string]bool{"thirty-second": true}[c.part]; isWord {
			continue // a number word, which is no part of a cue
		}
		text, err := de.Part(c.part)
		if err != nil {
			t.Errorf("%q: %v", c.part, err)
		}
		for _, english := range []string{" point ", "thou", " and ", "inch", "hundred", "turn", " of "} {
			if strings.Contains(" "+text+" ", english) {
				t.Errorf("%q is said %q: English", c.part, text)
			}
		}
	}
	if _, err := sounds.LanguageNamed("xx"); err == nil || !strings.Contains(err.Error(), "en or de") {
		t.Errorf("an unknown language: %v", err)
	}
}

// A German number reads back as it was written.
func TestGermanReadsBack(t *testing.T) {
	t.Parallel()
	de := languageNamed(t, "de")
	const seed = 9
	r := rand.New(rand.NewPCG(seed, seed))
	check := func(part, want string) {
		t.Helper()
		text, err := de.Part(part)
		if err != nil {
			t.Fatal(err)
		}
		if got := hearGerman(text); got != want {
			t.Fatalf("seed %d: %q is said %q, heard as %s", seed, part, text, got)
		}
	}
	for n := range 10_000 {
		check(strconv.Itoa(n), strconv.Itoa(n))
	}
	for range 20_000 {
		whole, places := strconv.Itoa(r.IntN(1_000_000)), strconv.Itoa(r.IntN(1000))
		check(whole+"."+places+" mm", whole+"."+places)
	}
}

// hearGerman writes a spoken number down, knowing only what the words mean. It takes
// the longest word that fits from the front.
func hearGerman(text string) string {
	text = strings.TrimSuffix(text, " Millimeter")
	whole, places, point := strings.Cut(text, " Komma ")
	values := map[string]int{"ein": 1, "eins": 1}
	for i, w := range strings.Fields(`null - zwei drei vier fünf sechs sieben acht neun zehn elf zwölf dreizehn vierzehn
		fünfzehn sechzehn siebzehn achtzehn neunzehn`) {
		values[w] = i
	}
	delete(values, "-")
	values["eins"], values["ein"] = 1, 1
	for i, w := range strings.Fields("zwanzig dreißig vierzig fünfzig sechzig siebzig achtzig neunzig") {
		values[w] = 20 + 10*i
	}
	total, group, last := 0, 0, 0
	for whole != "" {
		word := ""
		for w := range values {
			if strings.HasPrefix(whole, w) && len(w) > len(word) {
				word = w
			}
		}
		switch {
		case strings.HasPrefix(whole, "und"):
			whole = whole[3:]
		case strings.HasPrefix(whole, "hundert"):
			whole, group, last = whole[7:], group+last*99, 0
		case strings.HasPrefix(whole, "tausend"):
			whole, total, group, last = whole[7:], group*1000, 0, 0
		case word != "":
			whole, last = whole[len(word):], values[word]
			group += last
		default:
			return "something with " + whole
		}
	}
	out := strconv.Itoa(total + group)
	if point {
		out += "."
		for _, d := range strings.Fields(places) {
			out += strconv.Itoa(values[d])
		}
	}
	return out
}

func TestSentencesOfBothLanguages(t *testing.T) {
	t.Parallel()
	parts := []string{"pass", "7 of 9", ".", "cross slide in to", "1 turn", "and", "0.35", ",", "clockwise"}
	de := languageNamed(t, "de")
	for _, c := range []struct {
		get  func([]string) (string, error)
		want string
	}{
		{sounds.English.Sentences, "Pass seven of nine. Cross slide in to one turn and zero point three five, clockwise."},
		{sounds.English.Written, "Pass 7 of 9. Cross slide in to 1 turn and 0.35, clockwise."},
		{de.Sentences, "Schnitt sieben von neun. Planschlitten hinein auf eine Umdrehung und null Komma drei fünf, im Uhrzeigersinn."},
		{de.Written, "Schnitt 7 von 9. Planschlitten hinein auf 1 Umdrehung und 0,35, im Uhrzeigersinn."},
	} {
		if got, err := c.get(parts); err != nil || got != c.want {
			t.Errorf("%q (%v), want %q", got, err, c.want)
		}
		if _, err := c.get([]string{"tool out"}); err == nil {
			t.Error("a wrong part was not refused")
		}
	}
	if got := de.Figures("M12x1.75 to 9.980 mm, step 3. 4"); got != "M12x1,75 to 9,980 mm, step 3. 4" {
		t.Errorf("figures %q", got)
	}
	if got := sounds.English.Figures("9.980 mm"); got != "9.980 mm" {
		t.Errorf("figures %q", got)
	}
}
