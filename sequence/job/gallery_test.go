package job

import (
	"errors"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
)

var update = flag.Bool("update", false, "rewrite the expected errors")

const gallery = "../../testdata/errors"

var pieceName = regexp.MustCompile(`^(job|lathe)( escaped)?(?: x([0-9]+))?$`)

// piece is the text of one archive file of an entry: "job x101" is repeated,
// "job escaped" has \xB1 for a byte.
func piece(t *testing.T, m []string, data []byte) string {
	s := string(data)
	if m[2] != "" {
		u, err := strconv.Unquote("\"" + strings.ReplaceAll(strings.ReplaceAll(s, `"`, `\"`), "\n", `\n`) + "\"")
		if err != nil {
			t.Fatal(err)
		}
		s = u
	}
	if n, err := strconv.Atoi(m[3]); err == nil {
		s = strings.Repeat(s, n)
	}
	return s
}

func parse(kind, text string) error {
	if kind == "lathe" {
		_, err := ParseLathe("lathe.toml", text)
		return err
	}
	_, err := ParseJob("job.toml", text)
	return err
}

// Every fault a file can have stands in testdata/errors with the full text a
// person sees, and nothing else does.
func TestGallery(t *testing.T) {
	for key := range wordings {
		if _, err := os.Stat(filepath.Join(gallery, key+".txtar")); err != nil {
			t.Errorf("fault %s has no entry in %s", key, gallery)
		}
	}
	files, err := filepath.Glob(filepath.Join(gallery, "*.txtar"))
	if err != nil {
		t.Fatal(err)
	}
	for _, file := range files {
		key := strings.TrimSuffix(filepath.Base(file), ".txtar")
		t.Run(key, func(t *testing.T) {
			if _, ok := wordings[key]; !ok {
				t.Errorf("%s is the entry of no fault", file)
			}
			checkEntry(t, file, key)
		})
	}
}

func checkEntry(t *testing.T, file, key string) {
	ar, err := txtar.ParseFile(file)
	if err != nil {
		t.Fatal(err)
	}
	kind, text, seen, wants := "", "", false, 0
	for i := range ar.Files {
		f := &ar.Files[i]
		if m := pieceName.FindStringSubmatch(f.Name); m != nil {
			kind = m[1]
			text += piece(t, m, f.Data)
			continue
		}
		if f.Name != "want" {
			t.Fatalf("%s: no such part: %s", file, f.Name)
		}
		wants++
		var faults Faults
		if !errors.As(parse(kind, text), &faults) {
			t.Fatalf("%s: no fault in\n%s", file, text)
		}
		got := faults.Error() + "\n"
		if *update {
			f.Data = []byte(got)
		} else if got != string(f.Data) {
			t.Errorf("%s: got\n%swant\n%s", file, got, f.Data)
		}
		for _, fault := range faults {
			seen = seen || fault.key == key
			plainWords(t, fault)
		}
		text = ""
	}
	if wants == 0 || !seen {
		t.Errorf("%s: %d expected errors, none of them %s", file, wants, key)
	}
	if *update {
		if err := os.WriteFile(file, txtar.Format(ar), 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

var foreign = regexp.MustCompile(`\{[0-9]\}|%!|int64|float64|struct|U\+00[2-7]|pars(er|ing)|decode|unmarshal|toml:|strconv|invalid|unexpected`)

// plainWords holds a fault to the form of all messages.
func plainWords(t *testing.T, f Fault) {
	t.Helper()
	switch {
	case f.Msg == "" || f.Hint == "":
		t.Errorf("%s: fault %s has no message or no hint: %q, %q", f.Source.Place(f.Pos), f.key, f.Msg, f.Hint)
	case strings.HasSuffix(f.Msg, ".") || strings.HasSuffix(f.Hint, "."):
		t.Errorf("fault %s ends in a full stop: %q, %q", f.key, f.Msg, f.Hint)
	case strings.ContainsAny(f.Msg+f.Hint, "\n\r\t"):
		t.Errorf("fault %s is not one line: %q, %q", f.key, f.Msg, f.Hint)
	case foreign.MatchString(f.Msg + " " + f.Hint):
		t.Errorf("fault %s speaks of the program and not of the file: %q, %q", f.key, f.Msg, f.Hint)
	}
}
