package sounds_test

import (
	"fmt"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"turncue/sounds"
)

// How the trade says each of these; typed by hand, common practice.
var wordsTable = []struct{ part, words string }{
	// whole numbers
	{"0", "zero"},
	{"1", "one"},
	{"7", "seven"},
	{"10", "ten"},
	{"11", "eleven"},
	{"12", "twelve"},
	{"13", "thirteen"},
	{"15", "fifteen"},
	{"19", "nineteen"},
	{"20", "twenty"},
	{"21", "twenty-one"},
	{"30", "thirty"},
	{"40", "forty"},
	{"55", "fifty-five"},
	{"69", "sixty-nine"},
	{"78", "seventy-eight"},
	{"80", "eighty"},
	{"99", "ninety-nine"},
	{"100", "one hundred"},
	{"101", "one hundred and one"},
	{"110", "one hundred and ten"},
	{"127", "one hundred and twenty-seven"},
	{"200", "two hundred"},
	{"375", "three hundred and seventy-five"},
	{"999", "nine hundred and ninety-nine"},
	{"1000", "one thousand"},
	{"1005", "one thousand and five"},
	{"1100", "one thousand one hundred"},
	{"1234", "one thousand two hundred and thirty-four"},
	{"12000", "twelve thousand"},
	{"100000", "one hundred thousand"},
	{"999999", "nine hundred and ninety-nine thousand nine hundred and ninety-nine"},
	{"-3", "minus three"},
	// ring readings
	{"0.00", "zero point zero zero"},
	{"0.05", "zero point zero five"},
	{"0.35", "zero point three five"},
	{"0.350", "zero point three five zero"},
	{"1.98", "one point nine eight"},
	{"2.6", "two point six"},
	{"-0.02", "minus zero point zero two"},
	{"10.01", "ten point zero one"},
	// millimetres
	{"0 mm", "zero millimetres"},
	{"1 mm", "one millimetre"},
	{"1.0 mm", "one point zero millimetres"},
	{"2 mm", "two millimetres"},
	{"16 mm", "sixteen millimetres"},
	{"22 mm", "twenty-two millimetres"},
	{"0.01 mm", "zero point zero one millimetres"},
	{"0.1 mm", "zero point one millimetres"},
	{"-0.5 mm", "minus zero point five millimetres"},
	{"-1 mm", "minus one millimetres"},
	{"0.613 mm", "zero point six one three millimetres"},
	{"9.884 mm", "nine point eight eight four millimetres"},
	{"9.88 mm", "nine point eight eight millimetres"},
	{"9.794 mm", "nine point seven nine four millimetres"},
	{"9.974 mm", "nine point nine seven four millimetres"},
	{"11.850 mm", "eleven point eight five zero millimetres"},
	{"16.02 mm", "sixteen point zero two millimetres"},
	{"15.957 mm", "fifteen point nine five seven millimetres"},
	{"120.5 mm", "one hundred and twenty point five millimetres"},
	{"1250 mm", "one thousand two hundred and fifty millimetres"},
	{"0.000001 mm", "zero point zero zero zero zero zero one millimetres"},
	// inches
	{"0 in", "zero inches"},
	{"0.000 in", "zero inches"},
	{"1 in", "one inch"},
	{"1.000 in", "one inch"},
	{"2 in", "two inches"},
	{"0.001 in", "one thou"},
	{"0.002 in", "two thou"},
	{"0.010 in", "ten thou"},
	{"0.05 in", "fifty thou"},
	{"0.1 in", "one hundred thou"},
	{"0.125 in", "one hundred and twenty-five thou"},
	{"0.187 in", "one hundred and eighty-seven thou"},
	{"0.25 in", "two hundred and fifty thou"},
	{"0.375 in", "three hundred and seventy-five thou"},
	{"0.3750 in", "three hundred and seventy-five thou"},
	{"0.3751 in", "three hundred and seventy-five thou and one tenth"},
	{"0.3755 in", "three hundred and seventy-five thou and five tenths"},
	{"0.4375 in", "four hundred and thirty-seven thou and five tenths"},
	{"0.5 in", "five hundred thou"},
	{"0.999 in", "nine hundred and ninety-nine thou"},
	{"0.0001 in", "one tenth"},
	{"0.0002 in", "two tenths"},
	{"0.0005 in", "five tenths"},
	{"0.0015 in", "one thou and five tenths"},
	{"-0.0005 in", "minus five tenths"},
	{"-0.003 in", "minus three thou"},
	{"1.25 in", "one inch two hundred and fifty thou"},
	{"1.001 in", "one inch one thou"},
	{"1.0005 in", "one inch and five tenths"},
	{"1.2505 in", "one inch two hundred and fifty thou and five tenths"},
	{"2.5 in", "two inches five hundred thou"},
	{"12.031 in", "twelve inches thirty-one thou"},
	{"-1.5 in", "minus one inch five hundred thou"},
	{"0.109375 in", "one hundred and nine point three seven five thou"},
	{"0.00025 in", "zero point two five thou"},
	// thou on a ring
	{"0 thou", "zero thou"},
	{"1 thou", "one thou"},
	{"5 thou", "five thou"},
	{"85 thou", "eighty-five thou"},
	{"85.5 thou", "eighty-five thou and five tenths"},
	{"99.9 thou", "ninety-nine thou and nine tenths"},
	{"0.5 thou", "five tenths"},
	{"0.1 thou", "one tenth"},
	{"3.25 thou", "three point two five thou"},
	{"-2 thou", "minus two thou"},
	{"-2.5 thou", "minus two thou and five tenths"},
	// fractions
	{"1/2", "one half"},
	{"1/4", "one quarter"},
	{"3/4", "three quarters"},
	{"1/8", "one eighth"},
	{"5/8", "five eighths"},
	{"1/16", "one sixteenth"},
	{"7/16", "seven sixteenths"},
	{"15/32", "fifteen thirty-seconds"},
	{"1/32", "one thirty-second"},
	{"29/64", "twenty-nine sixty-fourths"},
	{"7/16 in", "seven sixteenths of an inch"},
	{"1 1/8", "one and one eighth"},
	{"1-1/8", "one and one eighth"},
	{"1 1/8 in", "one and one eighth inches"},
	{"2 3/4 in", "two and three quarters inches"},
	// counts, turns, teeth
	{"1 of 1", "one of one"},
	{"3 of 9", "three of nine"},
	{"0 of 12", "zero of twelve"},
	{"14 of 22", "fourteen of twenty-two"},
	{"0 turns", "zero turns"},
	{"1 turn", "one turn"},
	{"1 turns", "one turn"},
	{"2 turns", "two turns"},
	{"0.5 turns", "zero point five turns"},
	{"13.5 turns", "thirteen point five turns"},
	{"-2 turns", "minus two turns"},
	{"45 teeth", "forty-five teeth"},
	{"127 teeth", "one hundred and twenty-seven teeth"},
	// speeds, pitches, times, angles
	{"40 rpm", "forty revs a minute"},
	{"62.5 rpm", "sixty-two point five revs a minute"},
	{"250 rpm", "two hundred and fifty revs a minute"},
	{"1200 rpm", "one thousand two hundred revs a minute"},
	{"8 tpi", "eight threads per inch"},
	{"11.5 tpi", "eleven point five threads per inch"},
	{"20 tpi", "twenty threads per inch"},
	{"1 s", "one second"},
	{"12 s", "twelve seconds"},
	{"4.5 s", "four point five seconds"},
	{"1 min", "one minute"},
	{"4 min", "four minutes"},
	{"1 deg", "one degree"},
	{"45 deg", "forty-five degrees"},
	{"29.5 deg", "twenty-nine point five degrees"},
	{"-3 deg", "minus three degrees"},
	// thread names
	{"M10", "M ten"},
	{"M10x1", "M ten by one"},
	{"M12x1.75", "M twelve by one point seven five"},
	{"M2.5x0.45", "M two point five by zero point four five"},
	{"M12x1.75-6g", "M twelve by one point seven five, six G"},
	{"M12x1.75-4g6g", "M twelve by one point seven five, four G six G"},
	{"M8-6H", "M eight, six H"},
	{"M10x1-6g-LH", "M ten by one, six G left hand"},
	{"M10x1 LH", "M ten by one left hand"},
	{"Tr20x4", "trapezoidal twenty by four"},
	{"Tr36x6-7e", "trapezoidal thirty-six by six, seven E"},
	{"7/16-14 UNC", "seven sixteenths fourteen U N C"},
	{"1/4-20 UNC-2A", "one quarter twenty U N C, two A"},
	{"1/4-28 UNF-3B", "one quarter twenty-eight U N F, three B"},
	{"1/4-32 UNEF", "one quarter thirty-two U N E F"},
	{"1-8 UNC", "one inch eight U N C"},
	{"1-14 UNS", "one inch fourteen U N S"},
	{"2-4.5 UNC", "two inches four point five U N C"},
	{"1 1/8-7 UNC-2A-LH", "one and one eighth seven U N C, two A left hand"},
	{"1-1/8-7 UNC", "one and one eighth seven U N C"},
	{"1 1/2-12 UN", "one and one half twelve U N"},
	{"#10-24 UNC", "number ten twenty-four U N C"},
	{"#4-40 UNC", "number four forty U N C"},
	{"3/8-16 BSW", "three eighths sixteen B S W"},
	{"3/8-20 BSF", "three eighths twenty B S F"},
	{"1/2-14 BSP", "one half fourteen B S P"},
	{"1/2-14 NPT", "one half fourteen N P T"},
	{"3/4-6 ACME", "three quarters six acme"},
	{"2 BA", "two B A"},
	{"0 BA", "zero B A"},
	{"G 1/2", "G one half"},
	{"G1/2", "G one half"},
	{"G 1 1/4", "G one and one quarter"},
	{"G 1", "G one inch"},
	// fragments and breaks
	{"keep the half-nuts shut", "keep the half-nuts shut"},
	{"thirty-second", "thirty-second"},
	{",", ","},
	{".", "."},
}

func TestWords(t *testing.T) {
	t.Parallel()
	known := map[string]bool{sounds.Stop: true, sounds.Comma: true}
	for _, e := range sounds.Vocabulary() {
		known[e.Name] = true
	}
	seen := map[string]bool{}
	for _, c := range append(wordsTable[:len(wordsTable):len(wordsTable)], numbersTable...) {
		seen[c.part] = true
		words, err := sounds.Words(c.part)
		if err != nil {
			t.Errorf("%q: %v", c.part, err)
			continue
		}
		if got := sounds.Speak(words); got != c.words {
			t.Errorf("%q is said %q, want %q", c.part, got, c.words)
		}
		for _, w := range words {
			if !known[w] {
				t.Errorf("%q: word %q has no clip", c.part, w)
			}
		}
	}
	if len(seen) < 300 {
		t.Errorf("only %d parts in the tables", len(seen))
	}
}

func TestWordsRefuses(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ part, says string }{
		{"", "not in the vocabulary"},
		{"Stop the spindle", "not in the vocabulary"},
		{"stop the spindle ", "not in the vocabulary"},
		{"tool out", "not in the vocabulary"},
		{"9.884", ""},
		{"9,884 mm", "not in the vocabulary"},
		{"9.884mm", "not in the vocabulary"},
		{"9. mm", "not in the vocabulary"},
		{".5 mm", "not in the vocabulary"},
		{"+5 mm", "not in the vocabulary"},
		{"1e3 mm", "not in the vocabulary"},
		{"NaN mm", "not in the vocabulary"},
		{"5 furlongs", `unit "furlongs" is not known`},
		{"01 mm", "needless zero"},
		{"-0 mm", "cannot be negative"},
		{"-0.00 mm", "cannot be negative"},
		{"1234567 mm", "more than 6 digits"},
		{"0.1234567 mm", "more than 6 places"},
		{"99999999999999999999 mm", "more than 6 digits"},
		{"-5 rpm", "cannot be negative"},
		{"-5 teeth", "cannot be negative"},
		{"2 turn", `write "turns"`},
		{"9 of 3", "whole numbers"},
		{"1.5 of 3", "whole numbers"},
		{"0 of 0", "whole numbers"},
		{"2/4", "lowest terms"},
		{"8/8", "lowest terms"},
		{"9/8", "lowest terms"},
		{"1/3", "denominators"},
		{"1/0", "denominators"},
		{"M", "not in the vocabulary"},
		{"Mx1", "not in the vocabulary"},
		{"M1.2.3", "cannot be read"},
		{"M10x", "not in the vocabulary"},
		{"M10x1-9z", "thread class"},
		{"7/16-14 XYZ", `series "XYZ"`},
		{"0.4375-14 UNC", "not in the vocabulary"},
		{"7/15-14 UNC", "denominators"},
		{"G", "not in the vocabulary"},
	} {
		words, err := sounds.Words(c.part)
		if c.says == "" {
			if err != nil {
				t.Errorf("%q: %v", c.part, err)
			}
			continue
		}
		if err == nil {
			t.Errorf("%q is said %q, want a refusal", c.part, sounds.Speak(words))
			continue
		}
		msg := err.Error()
		if !strings.Contains(msg, c.says) || !strings.Contains(msg, strconv.Quote(c.part)) ||
			!strings.Contains(msg, `such as "9.884 mm"`) || strings.Contains(msg, "\n") {
			t.Errorf("%q: error %q should say %q, name the part and what is allowed", c.part, msg, c.says)
		}
	}
}

func TestText(t *testing.T) {
	t.Parallel()
	got, err := sounds.Text([]string{"set the speed to", "250 rpm", ".", "cross slide in to", "1 turn", "and", "0.35"})
	want := "set the speed to two hundred and fifty revs a minute. cross slide in to one turn and zero point three five"
	if err != nil || got != want {
		t.Errorf("got %q, %v; want %q", got, err, want)
	}
	if _, err := sounds.Text([]string{"pass", "nine of three"}); err == nil {
		t.Error("a wrong part was not refused")
	}
}

// Any length reads back as the number that was written: a listener who writes down
// what is said has the figure that was meant.
func TestLengthsReadBack(t *testing.T) {
	t.Parallel()
	const seed = 20
	r := rand.New(rand.NewPCG(seed, seed))
	check := func(part string, want string) {
		t.Helper()
		words, err := sounds.Words(part)
		if err != nil {
			t.Fatalf("seed %d: %q: %v", seed, part, err)
		}
		if got := hear(words); got != want {
			t.Fatalf("seed %d: %q is said %q, heard as %s, want %s", seed, part, sounds.Speak(words), got, want)
		}
	}
	for um := range 30_001 { // every micrometre to 30 mm
		n := fmt.Sprintf("%d.%03d", um/1000, um%1000)
		check(n+" mm", n)
	}
	for range 20_000 {
		sign := []string{"", "-"}[r.IntN(2)]
		whole, tenths := r.IntN(13), 1+r.IntN(9999)
		n := fmt.Sprintf("%s%d.%04d", sign, whole, tenths)
		check(n+" in", n)
		n = fmt.Sprintf("%s%d", sign, 1+r.IntN(999_999))
		check(n, n)
	}
}

// hear writes down a spoken number, knowing only what the words mean: millimetres or
// a bare number as said, inches to four places.
func hear(words []string) string {
	values := map[string]int{}
	for i, w := range strings.Fields(`zero one two three four five six seven eight nine ten eleven twelve thirteen
		fourteen fifteen sixteen seventeen eighteen nineteen`) {
		values[w] = i
	}
	for i, w := range strings.Fields("twenty thirty forty fifty sixty seventy eighty ninety") {
		values[w] = 20 + 10*i
	}
	sign, places := "", ""
	group, thousands, tenThou := 0, 0, 0
	point, inch := false, false
	for _, w := range words {
		v, isNumber := values[w]
		switch {
		case w == "minus":
			sign = "-"
		case w == "point":
			point = true
		case isNumber && point:
			places += strconv.Itoa(v)
		case isNumber:
			group += v
		case w == "hundred":
			group *= 100
		case w == "thousand":
			thousands, group = group*1000, 0
		case w == "inch" || w == "inches":
			tenThou, group, inch = tenThou+group*10_000, 0, true
		case w == "thou":
			tenThou, group, inch = tenThou+group*10, 0, true
		case w == "tenth" || w == "tenths":
			tenThou, group, inch = tenThou+group, 0, true
		case w == "and" || w == "millimetre" || w == "millimetres":
		default:
			return "something with " + w
		}
	}
	switch {
	case inch:
		return fmt.Sprintf("%s%d.%04d", sign, tenThou/10_000, tenThou%10_000)
	case places != "":
		return fmt.Sprintf("%s%d.%s", sign, thousands+group, places)
	}
	return fmt.Sprintf("%s%d", sign, thousands+group)
}

func FuzzWords(f *testing.F) {
	for _, c := range wordsTable {
		f.Add(c.part)
	}
	known := map[string]bool{sounds.Stop: true, sounds.Comma: true}
	for _, e := range sounds.Vocabulary() {
		known[e.Name] = true
	}
	f.Fuzz(func(t *testing.T, part string) {
		words, err := sounds.Words(part)
		if (err == nil) != (len(words) > 0) {
			t.Fatalf("%q: words %q and error %v", part, words, err)
		}
		for _, w := range words {
			if !known[w] {
				t.Fatalf("%q: word %q has no clip", part, w)
			}
		}
	})
}
