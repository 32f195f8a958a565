package main

import (
	"errors"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/pelletier/go-toml/v2"
)

// draftHead is the first line of a draft: answers kept for later, not yet a lathe.
const draftHead = "# Answers of turncue lathe new, not yet a lathe file. To go on: turncue lathe new --from "

// draft is answers as they are kept in a file: those given, and those that somebody
// went back from, which are offered again.
func draft(path string, given, before latheAnswers) string {
	var b strings.Builder
	b.WriteString(draftHead + path + "\n")
	for _, t := range []struct {
		heading string
		answers latheAnswers
	}{{"answers", given}, {"before", before}} {
		fmt.Fprintf(&b, "\n[%s]\n", t.heading)
		for _, k := range slices.Sorted(maps.Keys(t.answers)) {
			fmt.Fprintf(&b, "%s = %s\n", quoteTOML(k), quoteTOML(t.answers[k]))
		}
	}
	return b.String()
}

// readDraft reads answers that were kept.
func readDraft(path string) (given, before latheAnswers, err error) {
	text, err := readFile(path)
	if err != nil {
		return nil, nil, err
	}
	var d struct {
		Answers map[string]string `toml:"answers"`
		Before  map[string]string `toml:"before"`
	}
	if !strings.HasPrefix(text, draftHead) {
		return nil, nil, fmt.Errorf("%s: this is no draft of turncue lathe new: one begins with %q", path, strings.TrimSuffix(draftHead, ": turncue lathe new --from "))
	}
	if err := toml.Unmarshal([]byte(text), &d); err != nil {
		return nil, nil, fmt.Errorf("%s: the draft cannot be read, begin anew with turncue lathe new: %v", path, err)
	}
	if d.Answers == nil {
		d.Answers = latheAnswers{}
	}
	return d.Answers, d.Before, nil
}

// takeNewFile takes the path of a file that is not there yet.
func takeNewFile(s string) (string, error) {
	_, err := os.Lstat(s)
	switch {
	case err == nil:
		return "", fmt.Errorf("%s is there already, and is not overwritten: write another name", s)
	case !errors.Is(err, os.ErrNotExist):
		return "", fmt.Errorf("%s cannot be written: %w", s, bareCause(err))
	}
	if dir, err := os.Stat(filepath.Dir(s)); err != nil || !dir.IsDir() {
		return "", fmt.Errorf("there is no folder %s: write a name in a folder that is there", filepath.Dir(s))
	}
	return s, nil
}

// freeName is a path that is not taken: the one given, or with a number before its
// ending.
func freeName(path string) string {
	ext := filepath.Ext(path)
	for n, try := 2, path; ; n++ {
		if _, err := os.Lstat(try); errors.Is(err, os.ErrNotExist) || n > 1000 {
			return try
		}
		try = fmt.Sprintf("%s-%d%s", strings.TrimSuffix(path, ext), n, ext)
	}
}

// writeWhole writes a file whole or not at all. Where old is false, one that has come to
// be there since is not overwritten.
func writeWhole(path, text string, old bool) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".turncue-*")
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, bareCause(err))
	}
	defer os.Remove(f.Name()) // gone already when it was renamed
	_, err = f.WriteString(text)
	if err = errors.Join(err, f.Chmod(0o644), f.Sync(), f.Close()); err == nil {
		if old {
			err = os.Rename(f.Name(), path)
		} else if err = os.Link(f.Name(), path); errors.Is(err, os.ErrExist) {
			return fmt.Errorf("%s is there already, and is not overwritten: write another name", path)
		} else if err != nil { // some file systems have no links
			err = os.Rename(f.Name(), path)
		}
	}
	if err != nil {
		return fmt.Errorf("%s cannot be written: %w", path, bareCause(err))
	}
	return nil
}
