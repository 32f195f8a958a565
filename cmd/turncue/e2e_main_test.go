package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
)

func TestMain(m *testing.M) {
	code := m.Run()
	if builtDir != "" {
		os.RemoveAll(builtDir)
	}
	os.Exit(code)
}

// builtDir is where the program was built, "" when no test has asked for it.
var builtDir string

// built is the program as people get it, without cgo, built once for all tests that
// start it.
var built = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "turncue")
	if err != nil {
		return "", err
	}
	builtDir = dir
	program := filepath.Join(dir, "turncue")
	build := exec.Command("go", "build", "-o", program, ".")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if out, err := build.CombinedOutput(); err != nil {
		return "", fmt.Errorf("go build: %w\n%s", err, out)
	}
	return program, nil
})

func program(t testing.TB) string {
	t.Helper()
	path, err := built()
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// surroundings is the test's environment without what would change the program's ways,
// and with the settings given; "NAME" alone leaves a name out.
func surroundings(settings ...string) []string {
	out := []string{"TERM", "NO_COLOR", "COLORTERM", "TMUX", "SSH_CONNECTION", "XDG_STATE_HOME", "TURNCUE_GUARDED"}
	for _, s := range settings {
		name, _, _ := strings.Cut(s, "=")
		out = append(out, name)
	}
	env := slices.DeleteFunc(os.Environ(), func(e string) bool {
		name, _, _ := strings.Cut(e, "=")
		return slices.Contains(out, name)
	})
	for _, s := range settings {
		if strings.Contains(s, "=") {
			env = append(env, s)
		}
	}
	return env
}
