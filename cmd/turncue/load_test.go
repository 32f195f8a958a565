package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"turncue/sequence/job"
)

// TestLoadOwnMaterial: the material of a job may stand in the file of the lathe it
// names, and faults of both files are told at once.
func TestLoadOwnMaterial(t *testing.T) {
	jobText, latheText := job.ExampleText()
	dir := t.TempDir()
	write := func(name, text string) string {
		t.Helper()
		p := filepath.Join(dir, name)
		if err := os.WriteFile(p, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return p
	}
	jobText = strings.Replace(jobText, `"free-machining steel"`, `"axle steel"`, 1)
	var lines []string
	for _, l := range strings.Split(jobText, "\n") {
		if !strings.HasPrefix(l, "lathe") {
			lines = append(lines, l)
		}
	}
	jobText = "lathe = \"shop.toml\"\n" + strings.Join(lines, "\n")
	path := write("part.toml", jobText)
	write("shop.toml", latheText+"\n[[material]]\nname = \"axle steel\"\nlike = \"medium-carbon steel\"\nturn = \"18 m/min\"\n")
	w, err := load(path, "")
	if err != nil {
		t.Fatal(err)
	}
	if w.job.Material.Name != "axle steel" || len(w.plan.LayOut) == 0 || !strings.Contains(w.plan.LayOut[0], "axle steel") {
		t.Errorf("made of %q, laid out %q", w.job.Material.Name, w.plan.LayOut)
	}
	other := write("other.toml", latheText)
	if _, err := load(path, other); err == nil || !strings.Contains(err.Error(), `material "axle steel" is not known`) {
		t.Errorf("on a lathe that does not have it: %v", err)
	}
	broken := write("broken.toml", latheText+"\nnonsense")
	if _, err := load(path, broken); err == nil || !strings.Contains(err.Error(), "broken.toml") || !strings.Contains(err.Error(), "part.toml") {
		t.Errorf("not the faults of both: %v", err)
	}
	if _, err := load(path, filepath.Join(dir, "none.toml")); err == nil {
		t.Error("a lathe that is not there")
	}
}
