//go:build ignore

// This program measures how well the voice is understood: an offline recogniser
// (PocketSphinx, US English model) listens to the list understanding.txt, alone and in
// the noise of a shop, read by the voice of the clips and by a general synthesiser.
// Run it through the script understand.
package main

import (
	"bufio"
	"context"
	"encoding/binary"
	"fmt"
	"log"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"

	"turncue/sounds"
	"turncue/sounds/soundtest"
)

const (
	model    = "/usr/share/pocketsphinx/model/en-us/"
	rate     = 16000 // of the recogniser's model
	level    = -26.0 // dBFS, A-weighted, active: what every reading is brought to
	edge     = 48000 * 3 / 10
	draws    = 3
	general  = "espeak-ng -v en-us -s 150 --stdin --stdout"
	numbered = 60 // how many of the list have numbers; they come last
)

var levels = []float64{25, 15, 10, 5} // dB of speech over noise, both A-weighted

type prompt struct {
	parts []string
	words []string // as the recogniser writes them
}

func main() {
	log.SetFlags(0)
	log.SetPrefix("understand: ")
	dir, err := os.MkdirTemp("", "understand")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	prompts := readPrompts("understanding.txt")
	if len(prompts) != 120 {
		log.Fatalf("%d prompts, want 120", len(prompts))
	}
	writeGrammar(dir)
	general := &sounds.Program{Command: general}
	speakers := []struct {
		name   string
		render func([]string) (*sounds.Clip, error)
	}{
		{"voice", sounds.Default().Render},
		{"general", func(p []string) (*sounds.Clip, error) { return general.Render(context.Background(), p) }},
	}
	results := map[string]map[float64]score{}
	for _, s := range speakers {
		results[s.name] = map[float64]score{}
		var names []string
		for i, p := range prompts {
			clip, err := s.render(p.parts)
			if err != nil {
				log.Fatal(err)
			}
			speech := soundtest.AtLevel(clip.Samples(), level)
			for _, over := range levels {
				for draw := range draws {
					name := fmt.Sprintf("%s-%g-%d-%03d", s.name, over, draw, i)
					mixed := mix(speech, over, uint64(1000*draw+i+1))
					if err := os.WriteFile(filepath.Join(dir, name+".raw"), mixed, 0o600); err != nil {
						log.Fatal(err)
					}
					names = append(names, name)
				}
			}
		}
		heard := recognise(dir, names)
		for _, over := range levels {
			var total score
			for i, p := range prompts {
				for draw := range draws {
					total.add(p.words, heard[fmt.Sprintf("%s-%g-%d-%03d", s.name, over, draw, i)], i >= len(prompts)-numbered)
				}
			}
			results[s.name][over] = total
		}
	}
	report(results)
}

func readPrompts(file string) (all []prompt) {
	f, err := os.Open(file)
	if err != nil {
		log.Fatal(err)
	}
	defer f.Close()
	for sc := bufio.NewScanner(f); sc.Scan(); {
		line := sc.Text()
		if line == "" || line[0] == '#' {
			continue
		}
		p := prompt{parts: strings.Split(line, "|")}
		for _, part := range p.parts {
			p.words = append(p.words, wordsOf(part)...)
		}
		all = append(all, p)
	}
	return all
}

var spoken = func() map[string]string {
	m := map[string]string{}
	for _, e := range sounds.Vocabulary() {
		m[e.Name] = e.Text
	}
	return m
}()

func wordsOf(part string) (all []string) {
	words, err := sounds.Words(part)
	if err != nil {
		log.Fatal(err)
	}
	for _, w := range words {
		all = append(all, plain(spoken[w])...)
	}
	return all
}

// plain are the words of a text as the dictionary has them.
func plain(text string) []string {
	text = strings.NewReplacer(",", "", ".", "", "-", " ").Replace(strings.ToLower(text))
	return strings.Fields(text)
}

// Sounds of words that the dictionary lacks or has otherwise than the trade says them.
const ownWords = `thow TH AW
thow(2) DH AW
leed L IY D
reed R IY D
chuck CH AH K
tailstock T EY L S T AA K
threading TH R EH D IH NG
grooving G R UW V IH NG
scribe S K R AY B
sharp SH AA R P
jaw JH AO
lathe's L EY DH Z
mandrel M AE N D R AH L
nurl N ER L
nurling N ER L IH NG
unplug AH N P L AH G
unlock AH N L AA K
chamfer CH AE M F ER
anticlockwise AE N T IY K L AA K W AY Z
clockwise K L AA K W AY Z
swarf S W AO R F
undercut AH N D ER K AH T
idler AY D L ER
unscrew AH N S K R UW
trapezoidal T R AE P AH Z OY D AH L
`

// The grammar is what cues are made of: any fragment of the vocabulary alone, or a
// beginning with the kind of figure that the program says after it. A dial reading is
// less than a hundred units or a thousand thou; no pass is counted "of zero".
func writeGrammar(dir string) {
	var phrases []string
	for _, e := range sounds.Vocabulary() {
		if e.Melody == sounds.Phrase {
			phrases = append(phrases, strings.Join(plain(e.Text), " "))
		}
	}
	slices.Sort(phrases)
	grammar := `#JSGF V1.0;
grammar cues;
public <cue> = <command> | <size> | <count> | <speed> | <setting> | <place> | <train>;
<command> = ` + strings.Join(phrases, " | ") + `;
<size> = (it should be near | no more than | sticking out) <length>;
<count> = (pass | final pass) <below> of <below>;
<speed> = set the speed to <whole> revs a minute;
<setting> = (cross slide in to | cross slide out to | top slide in to | top slide out to | feed in to | feed along to) <dial> [on the carriage ring];
<place> = bring the carriage to (<length> from the end | <dial> on the carriage ring);
<train> = <hundreds> teeth (on the first shaft | on the leed screw | on the stud);
<length> = <decimal> (millimeter | millimeters) | <below> (inch | inches) | [<below> (inch | inches)] <thou>;
<dial> = [<below> (turn | turns) and] (<decimal> | <thou>);
<thou> = <hundreds> thow [and <small> (tenth | tenths)];
<digit> = zero | one | two | three | four | five | six | seven | eight | nine;
<small> = one | two | three | four | five | six | seven | eight | nine;
<teen> = ten | eleven | twelve | thirteen | fourteen | fifteen | sixteen | seventeen | eighteen | nineteen;
<tens> = twenty | thirty | forty | fifty | sixty | seventy | eighty | ninety;
<below> = <small> | <teen> | <tens> [<small>];
<hundreds> = <below> | <small> hundred [and <below>];
<whole> = <hundreds> | <small> thousand [<small> hundred] [and <below>];
<decimal> = (zero | <hundreds>) [point <digit>+];
`
	write := func(name, text string) {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			log.Fatal(err)
		}
	}
	write("cues.gram", grammar)
	dict, err := os.ReadFile(model + "cmudict-en-us.dict")
	if err != nil {
		log.Fatal(err)
	}
	own := map[string]bool{}
	for line := range strings.Lines(ownWords) {
		own[strings.Fields(line)[0]] = true
	}
	var b strings.Builder
	for line := range strings.Lines(string(dict)) {
		if word, _, _ := strings.Cut(line, " "); !own[word] {
			b.WriteString(line)
		}
	}
	write("words.dict", b.String()+ownWords)
	known := map[string]bool{}
	for line := range strings.Lines(b.String() + ownWords) {
		word, _, _ := strings.Cut(line, " ")
		known[word] = true
	}
	missing := map[string]bool{}
	for _, w := range strings.FieldsFunc(grammar[strings.Index(grammar, "<command> ="):], func(r rune) bool { return !(r >= 'a' && r <= 'z' || r == '\'' || r == '<') }) {
		if w[0] != '<' && !known[w] {
			missing[w] = true
		}
	}
	if len(missing) > 0 {
		log.Fatalf("words that the dictionary lacks: %v", missing)
	}
}

// mix puts noise under speech, with 0.3 s of it before and after, and gives the
// recogniser's samples.
func mix(speech []float64, over float64, seed uint64) []byte {
	noise := soundtest.AtLevel(soundtest.ShopNoise(len(speech)+2*edge, seed), level-over)
	for i, v := range speech {
		noise[edge+i] += v
	}
	return lowered(noise)
}

// lowered takes every third sample behind a low-pass at 7.2 kHz.
func lowered(x []float64) []byte {
	const taps = 96
	var h [taps + 1]float64
	sum := 0.0
	for i := range h {
		t := float64(i) - taps/2
		h[i] = 0.3
		if t != 0 {
			h[i] = math.Sin(math.Pi*0.3*t) / (math.Pi * t)
		}
		h[i] *= 0.54 + 0.46*math.Cos(2*math.Pi*t/taps)
		sum += h[i]
	}
	out := make([]byte, 0, len(x)*2/3)
	for at := 0; at < len(x); at += 3 {
		v := 0.0
		for i, w := range h {
			if j := at + i - taps/2; j >= 0 && j < len(x) {
				v += w / sum * x[j]
			}
		}
		out = binary.LittleEndian.AppendUint16(out, uint16(int16(max(-32768, min(32767, v*32768)))))
	}
	return out
}

// recognise runs the recogniser, a third of the list on each of three processes.
func recognise(dir string, names []string) map[string][]string {
	heard := map[string][]string{}
	third := (len(names) + 2) / 3
	var running []*exec.Cmd
	for part := range slices.Chunk(names, third) {
		ctl := filepath.Join(dir, fmt.Sprintf("%s.ctl", part[0]))
		if err := os.WriteFile(ctl, []byte(strings.Join(part, "\n")+"\n"), 0o600); err != nil {
			log.Fatal(err)
		}
		cmd := exec.Command("pocketsphinx_batch", "-hmm", model+"en-us", "-dict", filepath.Join(dir, "words.dict"),
			"-jsgf", filepath.Join(dir, "cues.gram"), "-ctl", ctl, "-cepdir", dir, "-cepext", ".raw", "-adcin", "yes",
			"-adchdr", "0", "-samprate", fmt.Sprint(rate), "-hyp", ctl+".hyp", "-logfn", ctl+".log")
		if err := cmd.Start(); err != nil {
			log.Fatal(err)
		}
		running = append(running, cmd)
	}
	for _, cmd := range running {
		if err := cmd.Wait(); err != nil {
			log.Fatalf("pocketsphinx_batch: %v: %s", err, complaint(dir))
		}
	}
	files, err := filepath.Glob(filepath.Join(dir, "*.hyp"))
	if err != nil {
		log.Fatal(err)
	}
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			log.Fatal(err)
		}
		for line := range strings.Lines(string(data)) {
			text, name, ok := strings.Cut(strings.TrimSpace(line), "(")
			if !ok {
				continue
			}
			name, _, _ = strings.Cut(name, " ")
			heard[strings.TrimSuffix(name, ")")] = strings.Fields(text)
		}
	}
	if missing := len(names); len(heard) < missing {
		log.Printf("%d of %d readings have an answer", len(heard), missing)
	}
	return heard
}

// complaint are the lines in which the recogniser says what is wrong.
func complaint(dir string) string {
	files, err := filepath.Glob(filepath.Join(dir, "*.log"))
	if err != nil {
		return err.Error()
	}
	var lines []string
	for _, file := range files {
		data, err := os.ReadFile(file)
		if err != nil {
			return err.Error()
		}
		for line := range strings.Lines(string(data)) {
			if strings.HasPrefix(line, "ERROR") || strings.HasPrefix(line, "FATAL") {
				lines = append(lines, line)
			}
		}
	}
	return strings.Join(lines, "")
}

// score counts what was heard.
type score struct {
	right, utterances int
	errors, words     int
	wrongNumbers      int // lines with a figure whose number words differ from those said: lost, changed or put in
	numbers           int // lines with a figure
	misheard          []string
}

var numberWords = func() map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(`zero one two three four five six seven eight nine ten eleven twelve thirteen
		fourteen fifteen sixteen seventeen eighteen nineteen twenty thirty forty fifty sixty seventy eighty ninety
		hundred thousand`) {
		m[w] = true
	}
	return m
}()

func (s *score) add(said, heard []string, numbers bool) {
	errs := align(said, heard)
	s.utterances++
	s.words += len(said)
	s.errors += errs
	if errs == 0 {
		s.right++
	} else if os.Getenv("UNDERSTAND_VERBOSE") != "" {
		log.Printf("%q heard as %q", strings.Join(said, " "), strings.Join(heard, " "))
	}
	if !numbers {
		return
	}
	s.numbers++
	if !slices.Equal(figures(said), figures(heard)) {
		s.wrongNumbers++
		s.misheard = append(s.misheard, fmt.Sprintf("%q heard as %q", strings.Join(said, " "), strings.Join(heard, " ")))
	}
}

// figures are the number words of a line in their order.
func figures(words []string) (only []string) {
	for _, w := range words {
		if numberWords[w] {
			only = append(only, w)
		}
	}
	return only
}

// align gives the word errors (Levenshtein).
func align(said, heard []string) (errors int) {
	cost := make([][]int, len(said)+1)
	for i := range cost {
		cost[i] = make([]int, len(heard)+1)
		for j := range cost[i] {
			switch {
			case i == 0:
				cost[i][j] = j
			case j == 0:
				cost[i][j] = i
			default:
				change := cost[i-1][j-1]
				if said[i-1] != heard[j-1] {
					change++
				}
				cost[i][j] = min(change, cost[i-1][j]+1, cost[i][j-1]+1)
			}
		}
	}
	return cost[len(said)][len(heard)]
}

func report(results map[string]map[float64]score) {
	var b strings.Builder
	fmt.Fprintf(&b, `# How well the voice is understood

Made by the script `+"`understand`"+`; do not edit. A recogniser without a network (PocketSphinx 5prealpha, US English
model, the grammar of all fragments and numbers) listens to the 120 lines of `+"`understanding.txt`"+`, each in a noise of its own, drawn %d time(s). Speech and noise are compared by their A-weighted levels, pauses left out. The noise is made up: pink noise,
hum at 50, 100 and 300 Hz, ticks at 2.8 kHz. "Clean" is 25 dB over it: in digital silence a recogniser of this kind is at
its worst. The general synthesiser is `+"`%s`"+`, given the same cues as sentences.

A line with a figure counts as wrong when its number words differ in any way from those said: one lost, one changed, or
one put in. A wrong figure is what scraps a part, whichever way it came about.

A recogniser is not a person: the figures rank voices, they do not say how many words an operator hears.

| speech over noise, dBA | | lines right | word errors | lines with a wrong figure |
|---|---|---|---|---|
`, draws, general)
	for _, over := range levels {
		for _, name := range []string{"voice", "general"} {
			s := results[name][over]
			label := fmt.Sprintf("+%g", over)
			if over == levels[0] {
				label += " (clean)"
			}
			fmt.Fprintf(&b, "| %s | %s | %.1f %% | %.1f %% | %d of %d |\n", label,
				map[string]string{"voice": "**the clips**", "general": "synthesiser"}[name],
				100*float64(s.right)/float64(s.utterances), 100*float64(s.errors)/float64(s.words), s.wrongNumbers, s.numbers)
		}
	}
	v, g := results["voice"][5], results["general"][5]
	ratio := float64(v.errors) / float64(max(1, g.errors))
	wrong := results["voice"][15].wrongNumbers + results["voice"][25].wrongNumbers
	fmt.Fprintf(&b, `
| goal | reached |
|---|---|
| at +5 dBA at most half the word errors of the synthesiser | %s: %.2f of them |
| no wrong figure at +15 dBA and better | %s: %d lines |
`, yes(ratio <= 0.5), ratio, yes(wrong == 0), wrong)
	for _, over := range []float64{25, 15} {
		for _, line := range results["voice"][over].misheard {
			fmt.Fprintf(&b, "\n- at +%g dBA: %s", over, line)
		}
	}
	b.WriteString("\n")
	if err := os.WriteFile("REPORT.md", []byte(b.String()), 0o644); err != nil {
		log.Fatal(err)
	}
	fmt.Print(b.String())
}

func yes(b bool) string {
	if b {
		return "yes"
	}
	return "no"
}
