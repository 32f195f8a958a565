package job

import (
	"strings"
	"testing"
)

// A note stands wherever the author puts it, as it was written, and no longer than can be
// read at a glance.
func TestNotes(t *testing.T) {
	const head = "part = \"bush\"\nmaterial = \"bronze\"\nbar = \"35 mm\"\nstickout = \"60 mm\"\n"
	const rest = "\n[[section]]\ndiameter = \"32 mm\"\nlength = \"20 mm\"\nnote = \"n2 – ‘as it is’, 5 µm\"\n\n[[bore]]\nthread = \"M20x1.5\"\nthrough = true\nnote = \"n3\"\nthread_note = \"n4\"\n"
	j, err := ParseJob("job.toml", head+"note = \"n1\"\n"+rest)
	if err != nil {
		t.Fatal(err)
	}
	if j.Note != "n1" || j.Sections[0].Note != "n2 – ‘as it is’, 5 µm" || j.Bores[0].Note != "n3" || j.Bores[0].ThreadNote != "n4" {
		t.Errorf("%q %q %q %q", j.Note, j.Sections[0].Note, j.Bores[0].Note, j.Bores[0].ThreadNote)
	}
	for text, want := range map[string]string{
		strings.Repeat("a", 160): "",
		strings.Repeat("a", 161): "note has 161 characters, at most 160 are shown",
		`a\tb`:                   `note has a character that cannot be shown, '\t'`,
		`a\u202eb`:               `'\u202e'`,
		`a\u200bb`:               `'\u200b'`,
		`a\u0085b`:               `'\u0085'`,
		``:                       "note is empty",
		`   `:                    "note is empty",
	} {
		_, err := ParseJob("job.toml", head+"note = \""+text+"\"\n"+rest)
		if (err == nil) != (want == "") || err != nil && !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", text, err)
		}
	}
	if _, err := ParseJob("job.toml", head+"note = 3\n"+rest); err == nil || !strings.Contains(err.Error(), "note is a whole number, not text") {
		t.Error(err)
	}
}
