package main

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the goldens again")

// The plans of the example jobs, read over line by line by a person before they were
// accepted: order, directions, and every number on its ring.
func TestPlans(t *testing.T) {
	for _, job := range goodJobs(t) {
		name := strings.TrimSuffix(filepath.Base(job), ".toml")
		t.Run(name, func(t *testing.T) {
			golden(t, filepath.Join("../../testdata/plans", name+".txt"), call(t, exitDone, "plan", job))
		})
	}
}

func TestRefusedPlans(t *testing.T) {
	for _, name := range []string{"slender-pin", "ten-faults"} {
		t.Run(name, func(t *testing.T) {
			out := call(t, exitRefused, "plan", filepath.Join("../../testdata/jobs", name+".toml"))
			golden(t, filepath.Join("../../testdata/plans", name+".refused.txt"), strings.ReplaceAll(out, "../../testdata/", ""))
		})
	}
}

// A part of a plan can be printed; what is not there is refused with what is.
func TestPartOfAPlan(t *testing.T) {
	out := call(t, exitDone, "plan", "--section", "s1", "--from", "s1/thread/pass3/set")
	if !strings.Contains(out, "s1/thread/pass3/set") || strings.Contains(out, "pass2/set") || strings.Contains(out, "s2/") {
		t.Errorf("printed:\n%s", out)
	}
	for _, c := range [][]string{{"--section", "s3", "this job has s1, s2"}, {"--from", "s1/thread/pass3/sett", "did you mean s1/thread/pass3/set?"}} {
		if out := call(t, exitRefused, "plan", c[0], c[1]); !strings.Contains(out, c[2]) {
			t.Errorf("%v: %s", c, out)
		}
	}
}

// call runs the command and gives what it printed.
func call(t testing.TB, code int, args ...string) string {
	t.Helper()
	var out, errs bytes.Buffer
	if got := run(context.Background(), args, strings.NewReader(""), &out, &errs); got != code {
		t.Fatalf("turncue %s: exit %d, want %d\n%s%s", strings.Join(args, " "), got, code, out.String(), errs.String())
	}
	return out.String() + errs.String()
}

func golden(t testing.TB, path, got string) {
	t.Helper()
	if *update {
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(got), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got != string(want) {
		t.Errorf("%s differs from what is printed now; see it with -update and git diff\n%s", path, firstDifference(string(want), got))
	}
}

func firstDifference(want, got string) string {
	a, b := strings.Split(want, "\n"), strings.Split(got, "\n")
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return "want: " + a[i] + "\ngot:  " + b[i]
		}
	}
	return "one is longer"
}

func BenchmarkPlan(b *testing.B) {
	for b.Loop() {
		if _, err := load("../../testdata/jobs/foot.toml", ""); err != nil {
			b.Fatal(err)
		}
	}
}
