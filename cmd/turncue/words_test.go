package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"turncue/sequence"
	"turncue/sounds"
)

// fragments are the constants of type Word in sequence/word.go, by name.
func fragments(t *testing.T) map[string]string {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), "../../sequence/word.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	found := map[string]string{}
	for _, d := range file.Decls {
		g, ok := d.(*ast.GenDecl)
		if !ok || g.Tok != token.CONST {
			continue
		}
		for _, s := range g.Specs {
			v := s.(*ast.ValueSpec)
			if id, ok := v.Type.(*ast.Ident); !ok || id.Name != "Word" {
				t.Errorf("constant %s has no type Word", v.Names[0])
				continue
			}
			for i, name := range v.Names {
				text, err := strconv.Unquote(v.Values[i].(*ast.BasicLit).Value)
				if err != nil {
					t.Fatal(err)
				}
				found[name.Name] = text
			}
		}
	}
	if len(found) < 100 {
		t.Fatalf("only %d fragments found", len(found))
	}
	return found
}

// used are the identifiers in the code of sequence and what builds on it, tests and
// the list itself left out.
func used(t *testing.T) map[string]bool {
	t.Helper()
	names := map[string]bool{}
	err := filepath.WalkDir("../../sequence", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			return err
		}
		declared := map[*ast.Ident]bool{}
		ast.Inspect(file, func(n ast.Node) bool {
			if v, ok := n.(*ast.ValueSpec); ok {
				for _, id := range v.Names {
					declared[id] = true
				}
			}
			return true
		})
		ast.Inspect(file, func(n ast.Node) bool {
			if id, ok := n.(*ast.Ident); ok && !declared[id] {
				names[id.Name] = true
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// Words cross to the voice as text. This holds the two lists together: every word a
// cue can hold has a clip, every fragment with a clip is a word, and every word is
// said somewhere.
func TestEveryWordHasAClipAndEveryClipIsUsed(t *testing.T) {
	words := fragments(t)
	texts := map[string]bool{}
	uses := used(t)
	for name, text := range words {
		texts[text] = true
		if !uses[name] {
			t.Errorf("%s (%q) is said nowhere", name, text)
		}
		if text == string(sequence.Comma) || text == string(sequence.FullStop) {
			continue
		}
		if _, err := sounds.Words(text); err != nil {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, e := range sounds.Vocabulary() {
		if e.Melody == sounds.Phrase && !texts[e.Name] {
			t.Errorf("clip %q is no word of a cue", e.Name)
		}
	}
}

// A word in the middle of a sentence has a clip spoken for the middle, one at an end a
// clip spoken for the end, in every plan the tests make.
func TestEveryWordIsSpokenForItsPlace(t *testing.T) {
	t.Parallel()
	entries, told := map[string]sounds.Entry{}, map[string]bool{}
	for _, e := range sounds.Vocabulary() {
		entries[e.Name] = e
	}
	for _, path := range goodJobs(t) {
		w, err := load(path, "")
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		for i := range w.plan.Steps {
			var words []string
			for _, part := range w.plan.Steps[i].Cue.Parts() {
				more, err := sounds.Words(part)
				if err != nil {
					t.Fatal(err)
				}
				words = append(words, more...)
			}
			sentences := strings.Split(strings.Join(words, "|"), "|"+sounds.Stop+"|")
			for _, sentence := range sentences {
				said := slices.DeleteFunc(strings.Split(sentence, "|"), func(w string) bool { return w == sounds.Comma || w == sounds.Stop })
				for n, word := range said {
					at := sounds.Mid
					if n == len(said)-1 {
						at = sounds.Final
					}
					key := word + ", " + string(at)
					if places := entries[word].Places; !slices.Contains(places, at) && !slices.Contains(places, sounds.Any) && !told[key] {
						told[key] = true
						t.Errorf("%s, step %s: no clip of %q for the place %s; %q", path, w.plan.Steps[i].ID, word, at, sentence)
					}
				}
			}
		}
	}
}

// Every cue of every plan the tests make can be spoken, with a length.
func TestEveryCueOfEveryPlanIsSpoken(t *testing.T) {
	t.Parallel()
	for _, path := range goodJobs(t) {
		w, err := load(path, "")
		if err != nil {
			t.Errorf("%s: %v", path, err)
			continue
		}
		for i := range w.plan.Steps {
			s := &w.plan.Steps[i]
			if d, err := sounds.Default().Duration(s.Cue.Parts()); err != nil {
				t.Errorf("%s, step %s: %v", path, s.ID, err)
			} else if d == 0 {
				t.Errorf("%s, step %s says nothing", path, s.ID)
			}
		}
	}
}

// goodJobs are the job files that can be planned.
func goodJobs(t *testing.T) []string {
	t.Helper()
	all, err := filepath.Glob("../../testdata/jobs/*.toml")
	if err != nil {
		t.Fatal(err)
	}
	all = slices.DeleteFunc(all, func(p string) bool {
		base := filepath.Base(p)
		return base == "slender-pin.toml" || base == "ten-faults.toml"
	})
	if len(all) < 5 {
		t.Fatalf("only %d jobs", len(all))
	}
	return all
}
