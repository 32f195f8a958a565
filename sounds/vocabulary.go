package sounds

import (
	"bufio"
	"embed"
	"fmt"
	"io/fs"
	"strings"
	"sync"
)

//go:embed voice/vocabulary.txt voice/clips/*.mp3
var embedded embed.FS

// Melody is the manner in which a clip was spoken.
type Melody string

const (
	Word   Melody = "word"   // slowly, to be joined with others
	Phrase Melody = "phrase" // a whole fragment at the pace of speech
)

// Place is where in a sentence something is said.
type Place string

const (
	Mid   Place = "mid"   // more of the sentence follows: the voice stays up
	Final Place = "final" // the sentence ends here: the voice falls
	Any   Place = "any"   // either, with one clip that falls: where "fourteen" is taken for "forty" if it stays up
	both  Place = "both"  // in the vocabulary: a clip of each kind
)

// Entry is one line of the vocabulary: one clip, or one for each [Place].
type Entry struct {
	Name   string // what a cue writes and a screen shows, lower case
	Text   string // what the synthesiser was given
	Melody Melody
	Places []Place // those it was spoken for
}

// File is the name of the entry's clip in a folder of clips: "half-nuts shut" is
// "half-nuts-shut.mp3". Of two clips it is the final one.
func (e Entry) File() string { return clipFile(e.Name) }

// FileAt is the name of the clip to use at a place: "nine.mid.mp3" in the middle of a
// sentence. An entry with one clip uses it everywhere.
func (e Entry) FileAt(at Place) string {
	if at == Mid && len(e.Places) == 2 {
		return strings.TrimSuffix(e.File(), ".mp3") + ".mid.mp3"
	}
	return e.File()
}

// Files names all clips of the entry.
func (e Entry) Files() []string {
	files := make([]string, len(e.Places))
	for i, at := range e.Places {
		files[i] = e.FileAt(at)
	}
	return files
}

func clipFile(name string) string {
	var b strings.Builder
	hyphen := false
	for _, r := range strings.ToLower(name) {
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			if hyphen && b.Len() > 0 {
				b.WriteByte('-')
			}
			hyphen = false
			b.WriteRune(r)
			continue
		}
		hyphen = true
	}
	return b.String() + ".mp3"
}

// Vocabulary lists every clip of the voice in the order of the file
// voice/vocabulary.txt. The caller may keep and change the slice.
func Vocabulary() []Entry {
	return append([]Entry(nil), vocabulary().entries...)
}

type lexicon struct {
	entries []Entry
	byName  map[string]Entry
}

// A damaged vocabulary is a broken build, caught by the first test that runs.
var vocabulary = sync.OnceValue(func() lexicon {
	data, err := embedded.ReadFile("voice/vocabulary.txt")
	if err != nil {
		panic(err)
	}
	entries, err := parseVocabulary(string(data))
	if err != nil {
		panic(err)
	}
	l := lexicon{entries: entries, byName: make(map[string]Entry, len(entries))}
	for _, e := range entries {
		l.byName[e.Name] = e
	}
	return l
})

// parseVocabulary reads the lines name|text|melody|place; '#' opens a comment line.
func parseVocabulary(text string) ([]Entry, error) {
	var entries []Entry
	names, files := map[string]int{}, map[string]int{}
	sc := bufio.NewScanner(strings.NewReader(text))
	for n := 1; sc.Scan(); n++ {
		line := strings.TrimSpace(sc.Text())
		if line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		fields := strings.Split(line, "|")
		if len(fields) != 4 {
			return nil, fmt.Errorf("vocabulary.txt:%d: %q has %d fields, not name|text spoken|melody|place", n, line, len(fields))
		}
		e := Entry{Name: fields[0], Text: fields[1], Melody: Melody(fields[2])}
		switch at := Place(fields[3]); at {
		case Mid, Final, Any:
			e.Places = []Place{at}
		case both:
			e.Places = []Place{Mid, Final}
		default:
			return nil, fmt.Errorf("vocabulary.txt:%d: place %q is not mid, final, both or any", n, at)
		}
		switch {
		case e.Name == "" || e.Text == "":
			return nil, fmt.Errorf("vocabulary.txt:%d: name and text spoken must both be given", n)
		case e.Name != strings.ToLower(e.Name) || e.Name != strings.Join(strings.Fields(e.Name), " "):
			return nil, fmt.Errorf("vocabulary.txt:%d: name %q must be in lower case with single spaces", n, e.Name)
		case e.Melody != Word && e.Melody != Phrase:
			return nil, fmt.Errorf("vocabulary.txt:%d: melody %q is neither word nor phrase", n, e.Melody)
		case names[e.Name] != 0:
			return nil, fmt.Errorf("vocabulary.txt:%d: %q is already on line %d", n, e.Name, names[e.Name])
		case files[e.File()] != 0:
			return nil, fmt.Errorf("vocabulary.txt:%d: the clip %s already belongs to line %d", n, e.File(), files[e.File()])
		}
		names[e.Name], files[e.File()] = n, n
		entries = append(entries, e)
	}
	return entries, sc.Err()
}

func embeddedClips() fs.FS {
	sub, err := fs.Sub(embedded, "voice/clips")
	if err != nil {
		panic(err) // only for a malformed path
	}
	return sub
}
