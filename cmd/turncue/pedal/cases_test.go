package pedal

import (
	"encoding/csv"
	"os"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// cases reads the pedal rows of what people met at the lathe, by id.
func cases(t *testing.T) map[string][]string {
	t.Helper()
	file, err := os.Open("../../../testdata/cases.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	r := csv.NewReader(file)
	r.Comment, r.FieldsPerRecord = '#', -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	got := map[string][]string{}
	for _, row := range rows {
		if len(row) > 3 && row[1] == "pedal" {
			got[row[0]] = row
		}
	}
	return got
}

// number is the figure after a word, "advances=2" or "held 2.0s".
func number(t *testing.T, text, after string) float64 {
	t.Helper()
	m := regexp.MustCompile(regexp.QuoteMeta(after) + `\s*<?=?\s*([0-9.]+)`).FindStringSubmatch(text)
	if m == nil {
		t.Fatalf("no figure after %q in %q", after, text)
	}
	f, err := strconv.ParseFloat(m[1], 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// count feeds edges and returns what each action was asked for.
func count(p Profile, l Layout, edges []Edge) map[Action]int {
	f, got := NewFilter(p), map[Action]int{}
	for _, e := range edges {
		if f.Feed(e) == Press {
			got[l.Action(e.Key)]++
		}
	}
	return got
}

func TestCasesOfPresses(t *testing.T) {
	rows := cases(t)
	for _, id := range []string{"C134", "C135"} {
		row := rows[id]
		if row == nil {
			t.Fatalf("no row %s", id)
		}
		lockout := ms(int(number(t, row[2], "lockout=")))
		var edges []Edge
		for s := range strings.SplitSeq(row[2][strings.Index(row[2], "presses_ms=")+len("presses_ms="):], ",") {
			n, err := strconv.Atoi(s)
			if err != nil {
				t.Fatal(err)
			}
			edges = append(edges, Edge{Key: "b", At: ms(n)})
		}
		want := int(number(t, row[3], "advances="))
		for _, p := range []Profile{Tuned(lockout, 0), Quick(lockout)} {
			if got := count(p, DefaultLayout(), edges)[Next]; got != want {
				t.Errorf("%s, %s: %d advances, want %d", id, p.Name, got, want)
			}
		}
	}
}

func TestCaseOfAHeldKey(t *testing.T) {
	row := cases(t)["C137"]
	held := time.Duration(number(t, row[2], "held ") * float64(time.Second))
	times := train(0, ms(int(number(t, row[2], "repeat_from="))), ms(int(number(t, row[2], "every="))), held)
	want := int(number(t, row[3], "advances="))
	for _, p := range []Profile{Safe(), SafeSSH(), Tuned(ms(500), ms(33)), Quick(ms(500)), Direct()} {
		var edges []Edge
		for _, at := range times {
			edges = append(edges, Edge{Key: "pgdn", At: at})
		}
		if got := count(p, DefaultLayout(), edges)[Next]; got != want {
			t.Errorf("C137, %s: %d advances, want %d", p.Name, got, want)
		}
	}
}

func TestCaseOfTypedText(t *testing.T) {
	row := cases(t)["C139"]
	n := int(number(t, row[2]+" ", ""))
	span := ms(int(number(t, row[2], " in ")))
	var edges []Edge
	for i := range n {
		edges = append(edges, Edge{Key: string(rune('A' + i)), At: span * time.Duration(i) / time.Duration(n)})
	}
	// every printable key advances, which is worse than any layout
	var all []string
	for _, e := range edges {
		all = append(all, strings.ToLower(e.Key))
	}
	got := count(Safe(), Layout{Next: all}, edges)[Next]
	if most := int(number(t, row[3], "advances")); got > most {
		t.Errorf("C139: %d advances, want at most %d", got, most)
	}
}

func TestCasesOfKeys(t *testing.T) {
	names := map[string]string{"PgDn": "pgdn", "PgUp": "pgup", "Return": "enter"}
	for id, does := range map[string]Action{"C140": Next, "C141": Back} {
		row := cases(t)[id]
		list := strings.TrimPrefix(row[2][:strings.Index(row[2], " (")], "keys=")
		var edges []Edge
		for k := range strings.SplitSeq(list, ",") {
			name := names[k]
			if name == "" {
				name = strings.ToLower(k)
			}
			edges = append(edges, Edge{Key: name, At: time.Duration(len(edges)) * time.Second})
		}
		want := int(number(t, row[3], "="))
		if got := count(Safe(), DefaultLayout(), edges); got[does] != want || len(got) != 1 {
			t.Errorf("%s: %v, want %d times %v", id, got, want, does)
		}
	}
}

func TestCaseOfAFlood(t *testing.T) {
	row := cases(t)["C148"]
	n := int(number(t, row[2], ""))
	var edges []Edge
	for i := range n {
		edges = append(edges, Edge{Key: "pgdn", At: time.Second * time.Duration(i) / time.Duration(n)})
	}
	most := int(number(t, row[3], "advances"))
	for _, p := range []Profile{Safe(), SafeSSH(), Tuned(ms(250), 0), Quick(ms(250)), Direct()} {
		if got := count(p, DefaultLayout(), edges)[Next]; got < 1 || got > most {
			t.Errorf("C148, %s: %d advances, want 1 to %d", p.Name, got, most)
		}
	}
}

func TestCaseOfOnePressAtStart(t *testing.T) {
	if row := cases(t)["C149"]; !strings.Contains(row[3], "without a second press") {
		t.Fatalf("C149 reads %q", row)
	}
	if got := count(Safe(), DefaultLayout(), []Edge{{Key: "b"}})[Next]; got != 1 {
		t.Errorf("C149: %d advances after one press, want 1", got)
	}
}

func TestLayout(t *testing.T) {
	l := DefaultLayout()
	if err := l.Check(); err != nil {
		t.Error(err)
	}
	for key, want := range map[string]Action{
		"space": Next, "enter": Next, "pgdn": Next, "right": Next, "down": Next, "b": Next, "B": Next,
		"pgup": Back, "left": Back, "up": Back, "backspace": Back, "a": Back,
		"c": Again, "r": Again,
		"esc": None, "unknown": None, "paste": None, "1": None, "": None, "ctrl+b": None, "x": None, "tab": None,
	} {
		if got := l.Action(key); got != want {
			t.Errorf("key %q: %v, want %v", key, got, want)
		}
	}
	few := l.WithoutLetters()
	if few.Action("b") != None || few.Action("pgdn") != Next || slices.Contains(few.Again, "r") {
		t.Errorf("without letters: %v", few)
	}
	if l.Action("b") != Next {
		t.Error("taking the letters out of a copy changed the layout")
	}
	for _, c := range []struct {
		layout Layout
		want   string
	}{
		{Layout{Back: []string{"b"}}, "no key is given to next: name at least one"},
		{Layout{Next: []string{"b"}, Again: []string{"b"}}, `key "b" is given to both next and again: name it once`},
		{Layout{Next: []string{"esc"}}, `key "esc" cannot be given to next: use another key`},
		{Layout{Next: []string{"5"}}, `key "5" cannot be given to next: use another key`},
		{Layout{Next: []string{"B"}}, `key "B": write letters in lower case`},
	} {
		if err := c.layout.Check(); err == nil || err.Error() != c.want {
			t.Errorf("%v: %v, want %s", c.layout, err, c.want)
		}
	}
}
