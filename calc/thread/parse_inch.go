package thread

import (
	"fmt"
	"math/big"
	"slices"
	"strings"

	"turncue/calc"
)

// inchFamilies are the words that name the family of an inch size, longest
// first.
var inchFamilies = []string{"unef", "unc", "unf", "uns", "un", "bspp", "bspt", "bsp", "bsw", "bsf", "bsc", "cei", "whit", "acme", "nptf", "npt", "nc", "nf", "nef", "ba", "me", "tpi"}

// size is an inch size as written: a whole number, a fraction, a mixed number or
// a decimal.
type size struct {
	value  *big.Rat
	text   string
	at     int
	number bool // written with # or No.
	plain  bool // a whole number and nothing else, not even an inch mark
}

// digits reads a run of digits.
func (p *parser) digits() string {
	start := p.at
	for !p.done() && p.peek() >= '0' && p.peek() <= '9' && p.at-start < 9 {
		p.at++
	}
	return string(p.text[start:p.at])
}

// wholeNumber is a run of digits, always decimal: Rat.SetString takes a leading
// nought in a fraction for octal.
func wholeNumber(digits string) *big.Rat {
	n, ok := new(big.Int).SetString(digits, 10)
	if !ok {
		return new(big.Rat)
	}
	return new(big.Rat).SetInt(n)
}

// size reads "1/4", "1-1/8", "1 1/8", "#10", "No. 10", "10", ".250", `7/16"`.
func (p *parser) size() (s size, ok bool) {
	s.at = p.at
	if p.take("#") || p.takeWord("no.") || p.takeWord("no") {
		s.number = true
	}
	start := p.at
	whole := p.digits()
	if p.peek() == '.' {
		p.at = start
		r, ok := p.number()
		if !ok {
			return s, false
		}
		s.value, s.text = r, strings.TrimSpace(string(p.text[start:p.at]))
		p.inchMark()
		return s, true
	}
	if whole == "" {
		return s, false
	}
	num := whole
	if p.peek() == '/' { // a plain fraction
		whole = ""
	} else { // perhaps a mixed number
		after := p.at
		p.space()
		mixed := p.at > after
		if p.take("-–") {
			mixed = true
		}
		num = p.digits()
		if !mixed || num == "" || p.peek() != '/' {
			p.at, num = after, ""
		}
	}
	if num == "" {
		s.value, s.text, s.plain = wholeNumber(whole), whole, !s.number
		p.space()
		if p.inchMark() {
			s.plain = false
		}
		return s, true
	}
	p.at++ // the stroke
	den := p.digits()
	if den == "" || strings.Trim(den, "0") == "" {
		return s, false
	}
	s.value = new(big.Rat).Quo(wholeNumber(num), wholeNumber(den))
	s.text = num + "/" + den
	if whole != "" {
		s.value.Add(s.value, wholeNumber(whole))
		s.text = whole + "-" + s.text
	}
	p.space()
	p.inchMark()
	return s, true
}

// inchMark steps over a unit after an inch size.
func (p *parser) inchMark() bool {
	if p.take("\"”″") || p.takeWord("inch") {
		return true
	}
	// "in" begins "inside" and "internal" too.
	if p.at+2 <= len(p.text) && strings.EqualFold(string(p.text[p.at:p.at+2]), "in") && (p.at+2 == len(p.text) || strings.ContainsRune(" -–.xX×", p.text[p.at+2])) {
		p.takeWord("in")
		p.take(".")
		return true
	}
	return false
}

// diameter is the size as a diameter in inches.
func (s size) diameter() (calc.Length, bool) {
	r := new(big.Rat).Mul(s.value, big.NewRat(int64(calc.Inch), 1))
	if !r.IsInt() || !r.Num().IsInt64() {
		return 0, false
	}
	d := calc.Length(r.Num().Int64()) * calc.Nanometre
	return d, d > 0 && d <= 12*calc.Inch
}

// inch reads a size with threads per inch and the family's word, in any order
// people write them; family is the word where it came first.
func (p *parser) inch(family string) (Thread, error) {
	s, ok := p.size()
	if !ok {
		return Thread{}, p.fail(s.at, "expected a thread such as M10x1 or 1/4-20")
	}
	if p.takeWord("V") && s.plain {
		return p.valve(s)
	}
	var tpi calc.Ratio
	tpiAt := p.at
	crossed := strings.ContainsRune("xX×*", p.peek()) && !p.done()
	if p.take("-–xX×*") {
		tpiAt = p.at
		if r, ok := p.number(); ok {
			if !r.Num().IsInt64() || !r.Denom().IsInt64() {
				return Thread{}, p.fail(tpiAt, "no count of threads per inch")
			}
			var err error
			if tpi, err = calc.NewRatio(r.Num().Int64(), r.Denom().Int64()); err != nil || tpi.Sign() <= 0 {
				return Thread{}, p.fail(tpiAt, "a count of threads per inch must be above zero")
			}
			p.half(&tpi)
		} else if family == "" {
			p.at = tpiAt
		}
	}
	wordAt := p.at
	for p.take("-–. ") {
	}
	for _, w := range inchFamilies {
		at := p.at
		if !p.wholeWord(w) {
			continue
		}
		switch {
		case w == "tpi":
			continue
		case family != "" && !strings.EqualFold(family, w):
			return Thread{}, p.fail(at, "%s after %s: name one family", strings.ToUpper(w), family)
		}
		family, wordAt = strings.ToUpper(w), at
		break
	}
	switch family {
	case "NC", "NF", "NEF":
		return Thread{}, p.fail(wordAt, "%s is the name from before 1949: write UN%s if the Unified limits are meant", family, strings.TrimPrefix(family, "N"))
	case "NPTF":
		return Thread{}, p.fail(wordAt, "NPTF, the dry-seal thread, is not known here: NPT is")
	case "BA":
		return p.association(s, tpi, tpiAt)
	case "BSP", "BSPP", "BSPT", "NPT":
		return p.pipeOf(family, s, tpi, tpiAt)
	case "BSW", "WHIT":
		return p.whitworth("BSW", s, tpi, tpiAt)
	case "BSF", "ME":
		return p.whitworth(family, s, tpi, tpiAt)
	case "BSC", "CEI":
		return p.cycle(s, tpi, tpiAt)
	case "ACME":
		return p.acme(s, tpi, tpiAt)
	case "":
		if crossed && !strings.Contains(s.text, "/") && tpi.Sign() != 0 {
			return Thread{}, p.fail(s.at, "%sx%s could be M%sx%s, or %s-%s with threads per inch", s.text, tpiText(tpi), s.text, tpiText(tpi), s.text, tpiText(tpi))
		}
	}
	return p.unified(family, s, tpi, tpiAt)
}

// half reads the rest of "4-1/2" threads per inch.
func (p *parser) half(tpi *calc.Ratio) {
	at := p.at
	p.take("-– ")
	if p.at < len(p.text) && string(p.text[p.at:min(len(p.text), p.at+3)]) == "1/2" {
		if sum, err := tpi.Plus(onehalf); err == nil && tpi.Den() == 1 {
			*tpi = sum
			p.at += 3
			p.space()
			return
		}
	}
	p.at = at
}

var onehalf = oneIn(2)

// perInch makes the pitch of so many threads per inch, 1 to 200.
func (p *parser) perInch(tpi calc.Ratio, at int) (calc.Lead, error) {
	if tpi.Cmp(calc.Whole(1)) < 0 || tpi.Cmp(calc.Whole(200)) > 0 {
		return calc.Lead{}, p.fail(at, "%s threads per inch are not between 1 and 200", tpi)
	}
	if told, err := calc.ParseRatio(tpiText(tpi)); err != nil || told != tpi {
		return calc.Lead{}, p.fail(at, "a count of threads per inch has at most six places: write %s", tpiText(tpi))
	}
	l, err := calc.PerInch(tpi)
	if err != nil {
		return calc.Lead{}, p.fail(at, "%s", err)
	}
	return l, nil
}

// finish reads hand, side, class and starts and puts them into the thread; outside
// and inside are the classes where none is written.
func (p *parser) finish(t Thread, classes []string, outside, inside string) (Thread, error) {
	isClass := func(w string) bool {
		return slices.ContainsFunc(classes, func(c string) bool { return strings.EqualFold(c, w) })
	}
	example := outside
	if example == "" {
		example = "inside"
	}
	rest, err := p.tail(isClass, example)
	if err != nil {
		return Thread{}, err
	}
	t.LeftHand, t.External, t.Class = rest.left, rest.side >= 0, outside
	if rest.side < 0 {
		t.Class = inside
	}
	if rest.class != "" {
		for _, c := range classes {
			if strings.EqualFold(c, rest.class) {
				t.Class = c
			}
		}
		external := insideClass[t.Family] == nil || !insideClass[t.Family](t.Class)
		if insideClass[t.Family] == nil {
			external = rest.side >= 0
		}
		if rest.side != 0 && (rest.side > 0) != external {
			return Thread{}, p.fail(rest.classAt, "class %s is for the other side", t.Class)
		}
		t.External = external
	}
	t.Starts = max(rest.starts, 1)
	if t.Starts > 12 {
		return Thread{}, p.fail(len(p.text)-1, "%d starts: 1 to 12 are possible", t.Starts)
	}
	if t.Lead, err = t.Pitch.Times(calc.Whole(int64(t.Starts))); err != nil {
		return Thread{}, p.fail(0, "%s", err)
	}
	if b, err := t.Basic(); err != nil {
		return Thread{}, p.fail(0, "%s", err)
	} else if b.Root <= 0 || b.Minor <= 0 || 2*t.Pitch.Length() >= t.Nominal && t.Family != Association {
		return Thread{}, p.fail(0, "a pitch of %s is too coarse for a diameter of %s", t.Pitch, t.Nominal)
	}
	return t, nil
}

// insideClass says which classes belong to inside threads, where the class alone
// tells.
var insideClass = map[Family]func(string) bool{
	Unified:     func(c string) bool { return strings.HasSuffix(c, "B") },
	Whitworth:   func(c string) bool { return strings.HasSuffix(c, "nut") },
	Association: func(string) bool { return false },
	Pipe:        func(string) bool { return false },
	Trapezoidal: func(c string) bool { return strings.HasSuffix(c, "H") },
}

func (p *parser) unified(series string, s size, tpi calc.Ratio, tpiAt int) (Thread, error) {
	name := s.text
	d, ok := s.diameter()
	whole, isWhole := 0, s.value.IsInt() && s.value.Num().IsInt64() && s.value.Num().Int64() <= 12
	if isWhole {
		whole = int(s.value.Num().Int64())
	}
	if tpi.Sign() == 0 {
		return Thread{}, p.unifiedDoubt(series, s, d, ok, tpiAt)
	}
	pitch, err := p.perInch(tpi, tpiAt)
	if err != nil {
		return Thread{}, err
	}
	numbered := s.number || s.plain && isWhole && unifiedNumber(whole, tpi)
	switch {
	case numbered:
		if !isWhole || !slices.Contains(unifiedNumbers, whole) {
			return Thread{}, p.fail(s.at, "numbered sizes are 0 to 6, 8, 10 and 12")
		}
		d, ok = number(whole), true
	case s.plain && isWhole && numberDoubt(whole, d, tpi):
		return Thread{}, p.fail(s.at, "%s could be number %d or %d in: write #%s-%s or %s\"-%s", name, whole, whole, name, tpiText(tpi), name, tpiText(tpi))
	}
	if !ok {
		return Thread{}, p.fail(s.at, "%s in is no diameter: write it above zero and up to 12 in", name)
	}
	found := seriesOf(d, tpi)
	switch {
	case series == "" && found == "UNS":
		if q, ok := inWhitworth("BSF", d); ok && q == quarter(tpi) {
			return Thread{}, p.fail(s.at, "%s-%s is no Unified size: it could be %s-%s BSF, or %s-%s UNS", name, tpiText(tpi), name, tpiText(tpi), name, tpiText(tpi))
		}
		if q, ok := inWhitworth("BSW", d); ok && q == quarter(tpi) {
			return Thread{}, p.fail(s.at, "%s-%s is no Unified size: it could be %s-%s BSW, or %s-%s UNS", name, tpiText(tpi), name, tpiText(tpi), name, tpiText(tpi))
		}
		if tpi == calc.Whole(26) {
			return Thread{}, p.fail(s.at, "%s-26 is no Unified size: it could be %s-26 BSC, or %s-26 UNS", name, name, name)
		}
	case series != "" && series != found && series != "UNS":
		hint := fmt.Sprintf("write %s-%s %s", name, tpiText(tpi), found)
		if q, ok := unifiedSeries[series][d]; ok {
			hint = fmt.Sprintf("%s has %s-%s, and %s", series, name, tpiText(fourth(q)), hint)
		}
		return Thread{}, p.fail(tpiAt, "%s-%s is not in %s: %s", name, tpiText(tpi), series, hint)
	}
	if series == "" {
		series = found
	}
	switch {
	case numbered && unifiedNumber(whole, tpi):
		name = fmt.Sprint(whole)
	case numbered:
		name = "#" + fmt.Sprint(whole)
	default:
		name = inchName(d)
		if isWhole && (unifiedNumber(whole, tpi) || numberDoubt(whole, d, tpi)) {
			name += "\"" // or it would be taken for a numbered size
		}
	}
	t := Thread{Family: Unified, Series: series, Nominal: d, Pitch: pitch, Angle: 60 * calc.Degree,
		Designation: name + "-" + tpiText(tpi) + " " + series}
	return p.finish(t, []string{"1A", "2A", "3A", "1B", "2B", "3B"}, "2A", "2B")
}

// numberDoubt says that a whole number could be a numbered size as well as so
// many inches: it is a number of the series, the threads are fine, and no series
// has them on either.
func numberDoubt(n int, d calc.Length, tpi calc.Ratio) bool {
	return slices.Contains(unifiedNumbers, n) && tpi.Cmp(calc.Whole(20)) > 0 && seriesOf(d, tpi) == "UNS"
}

// unifiedDoubt names what an inch size without threads per inch could be.
func (p *parser) unifiedDoubt(series string, s size, d calc.Length, ok bool, at int) *Error {
	name := s.text
	if s.number && s.value.IsInt() && s.value.Num().IsInt64() && slices.Contains(unifiedNumbers, int(s.value.Num().Int64())) {
		d, ok = number(int(s.value.Num().Int64())), true
	}
	var candidates []string
	if ok {
		for _, u := range []string{"UNC", "UNF", "UNEF"} {
			if q, has := unifiedSeries[u][d]; has && (series == "" || series == u) {
				candidates = append(candidates, fmt.Sprintf("%s-%s %s", name, tpiText(fourth(q)), u))
			}
		}
		for _, w := range []string{"BSW", "BSF"} {
			if q, has := inWhitworth(w, d); has && series == "" {
				candidates = append(candidates, fmt.Sprintf("%s-%s %s", name, tpiText(fourth(q)), w))
			}
		}
		if i := pipeName(name); i >= 0 && series == "" {
			candidates = append(candidates, "G "+name+" A")
		}
	}
	if len(candidates) == 0 {
		return p.fail(at, "%s needs its threads per inch, such as %s-20", name, name)
	}
	return p.fail(at, "%s needs its threads per inch: it could be %s", name, strings.Join(candidates, ", "))
}

// quarter is a count of threads per inch in quarters, or -1.
func quarter(tpi calc.Ratio) int {
	q, err := tpi.Times(calc.Whole(4))
	if err != nil || q.Den() != 1 {
		return -1
	}
	return int(q.Num())
}

func fourth(q int) calc.Ratio {
	r, err := calc.NewRatio(int64(q), 4)
	if err != nil {
		return calc.Ratio{}
	}
	return r
}

// tpiText is a count of threads per inch as the standards print it: 11.5.
func tpiText(tpi calc.Ratio) string {
	s := tpi.Rat().FloatString(6)
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}

// inchName is a diameter as a fraction of an inch where that is short, and a
// decimal where it is not.
func inchName(d calc.Length) string {
	if d%(calc.Inch/64) != 0 {
		s := d.Trimmed(calc.Inch, 8)
		return strings.TrimPrefix(s, "0")
	}
	sixtyfourths := int64(d / (calc.Inch / 64))
	whole, num, den := sixtyfourths/64, sixtyfourths%64, int64(64)
	for num > 0 && num%2 == 0 {
		num, den = num/2, den/2
	}
	switch {
	case num == 0:
		return fmt.Sprint(whole)
	case whole == 0:
		return fmt.Sprintf("%d/%d", num, den)
	}
	return fmt.Sprintf("%d-%d/%d", whole, num, den)
}

func (p *parser) whitworth(series string, s size, tpi calc.Ratio, tpiAt int) (Thread, error) {
	d, ok := s.diameter()
	if !ok || s.number {
		return Thread{}, p.fail(s.at, "%s is no diameter in inches", s.text)
	}
	q, known := inWhitworth(series, d)
	switch {
	case tpi.Sign() == 0 && known:
		tpi = fourth(q)
	case tpi.Sign() == 0 && series == "ME":
		return Thread{}, p.fail(tpiAt, "%s ME needs its threads per inch: it could be %s-32 ME or %s-40 ME", s.text, s.text, s.text)
	case tpi.Sign() == 0:
		return Thread{}, p.fail(s.at, "%s is no size of %s: write its threads per inch, such as %s-20 %s", s.text, series, s.text, series)
	case series != "ME" && known && fourth(q) != tpi:
		return Thread{}, p.fail(tpiAt, "%s has %s-%s, not %s threads per inch", series, s.text, tpiText(fourth(q)), tpiText(tpi))
	}
	pitch, err := p.perInch(tpi, tpiAt)
	if err != nil {
		return Thread{}, err
	}
	t := Thread{Family: Whitworth, Series: series, Nominal: d, Pitch: pitch, Angle: 55 * calc.Degree,
		Designation: inchName(d) + "-" + tpiText(tpi) + " " + series}
	return p.finish(t, []string{"close", "medium", "free", "medium nut", "normal nut"}, "medium", "normal nut")
}

func (p *parser) association(s size, tpi calc.Ratio, tpiAt int) (Thread, error) {
	if tpi.Sign() != 0 {
		return Thread{}, p.fail(tpiAt, "a BA thread has its own pitch: write %s BA", s.text)
	}
	if !s.value.IsInt() || s.value.Cmp(big.NewRat(int64(len(associationSizes)-1), 1)) > 0 {
		return Thread{}, p.fail(s.at, "BA sizes are 0 to %d, not %s", len(associationSizes)-1, s.text)
	}
	n := int(s.value.Num().Int64())
	row := associationSizes[n]
	t := Thread{Family: Association, Nominal: calc.Length(row[1]) * 10 * um, Pitch: calc.PerTurn(calc.Length(row[0]) * 10 * um),
		Angle: 47*calc.Degree + 30*calc.Arcminute, Designation: fmt.Sprintf("%d BA", n)}
	return p.finish(t, []string{"normal"}, "normal", "")
}

func (p *parser) cycle(s size, tpi calc.Ratio, tpiAt int) (Thread, error) {
	d, ok := s.diameter()
	if !ok || s.number {
		return Thread{}, p.fail(s.at, "%s is no diameter in inches", s.text)
	}
	if tpi.Sign() == 0 {
		return Thread{}, p.fail(tpiAt, "%s BSC needs its threads per inch: most are %s-26 BSC, also 20, 24, 32 and 40", s.text, s.text)
	}
	pitch, err := p.perInch(tpi, tpiAt)
	if err != nil {
		return Thread{}, err
	}
	t := Thread{Family: Cycle, Nominal: d, Pitch: pitch, Angle: 60 * calc.Degree, Designation: inchName(d) + "-" + tpiText(tpi) + " BSC"}
	return p.finish(t, nil, "", "")
}

func (p *parser) acme(s size, tpi calc.Ratio, tpiAt int) (Thread, error) {
	d, ok := s.diameter()
	if !ok || s.number {
		return Thread{}, p.fail(s.at, "%s is no diameter in inches", s.text)
	}
	if tpi.Sign() == 0 {
		return Thread{}, p.fail(tpiAt, "%s Acme needs its threads per inch, such as 1/2-10 Acme", s.text)
	}
	pitch, err := p.perInch(tpi, tpiAt)
	if err != nil {
		return Thread{}, err
	}
	t := Thread{Family: Acme, Nominal: d, Pitch: pitch, Angle: 29 * calc.Degree, Designation: inchName(d) + "-" + tpiText(tpi) + " ACME"}
	return p.finish(t, []string{"2G"}, "2G", "2G")
}

// valve reads what follows the V of a tyre valve thread.
func (p *parser) valve(s size) (Thread, error) {
	name := s.text + "V" + p.digits()
	for _, v := range valveSizes {
		if v.name != name {
			continue
		}
		t := Thread{Family: Valve, Nominal: calc.Length(v.major) * um, Pitch: calc.PerTurn(calc.Length(v.pitch) * um), Angle: 60 * calc.Degree, Designation: name}
		if v.tpi != 0 {
			pitch, err := calc.PerInch(calc.Whole(int64(v.tpi)))
			if err != nil {
				return Thread{}, p.fail(s.at, "%s", err)
			}
			t.Pitch = pitch
		}
		p.space()
		return p.finish(t, nil, "", "")
	}
	return Thread{}, p.fail(s.at, "%s is no tyre valve thread of ISO 4570: 5V1, 8V1 and 12V1 are", name)
}

// oneIn is the ratio 1/n for a constant n above zero.
func oneIn(n int64) calc.Ratio {
	r, err := calc.NewRatio(1, n)
	if err != nil {
		return calc.Ratio{}
	}
	return r
}
