//go:build unix

package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"hash/crc32"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"

	"turncue/sequence/runner"
)

// The disk fills up in the middle of a run: one clear line that says what to do, the
// place kept; with room again the run goes on at the last step that was acknowledged.
func TestDiskFull(t *testing.T) {
	t.Parallel()
	state := t.TempDir()
	// A limit on the size of files makes the write fail half way, as a full disk does.
	cmd := exec.Command("sh", "-c", `ulimit -f 24; exec "$0" run --control - --audio none`, program(t))
	cmd.Env = surroundings("XDG_STATE_HOME=" + state)
	c := started(t, cmd)
	acked := 0
	note := strings.Repeat("swarf ", 60)
	go func() {
		for i := range 200 {
			if _, err := fmt.Fprintf(c.in, "note %d %s\n", i, note); err != nil {
				return
			}
		}
	}()
	for {
		line, ok := c.next()
		if !ok {
			break
		}
		if strings.Contains(line, "Noted") {
			acked++
		}
	}
	code := c.ended()
	errs := c.errs.String()
	if code != exitRefused || strings.Count(errs, "\n") != 1 {
		t.Fatalf("exit %d %q", code, errs)
	}
	holds(t, errs, "turncue: stopped at step 1 of", "your place is saved: turncue resume", "cannot be written: file too large: make room, then resume")
	if acked < 5 {
		t.Fatalf("only %d notes were taken before it was full", acked)
	}
	all, err := runner.Journals(filepath.Join(state, "turncue"))
	if err != nil || len(all) != 1 || all[0].Damage != nil {
		t.Fatal(err, all)
	}
	kept := 0
	for _, r := range all[0].Records {
		if r.Event == "note" {
			kept++
		}
	}
	if kept < acked-1 { // the last one was shown before it was on the disk, and the run said so
		t.Errorf("%d notes acknowledged, %d kept", acked, kept)
	}
	again := lead(t, []string{"XDG_STATE_HOME=" + state}, "resume", "--control", "-", "--audio", "none")
	if line, ok := again.next(); !ok {
		t.Errorf("resume with room again: %q", line)
	}
	again.in.Close()
	for ok := true; ok; {
		_, ok = again.next()
	}
	if code := again.ended(); code != exitDone {
		t.Errorf("resume ends with %d: %s", code, again.errs.String())
	}
}

// A directory, and a journal, that cannot be written: one line that says so.
func TestReadOnlyDirectory(t *testing.T) {
	t.Parallel()
	dir, err := os.MkdirTemp("", "turncue-read-only")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	state := filepath.Join(dir, "state")
	if err := os.Mkdir(state, 0o555); err != nil {
		t.Fatal(err)
	}
	self := program(t)
	cmd := exec.Command(self, "run", "--control", "-", "--audio", "none")
	cmd.Env = surroundings("XDG_STATE_HOME=" + state)
	if os.Getuid() == 0 { // nothing is read-only for root: let it be nobody
		b, err := os.ReadFile(self)
		if err != nil {
			t.Fatal(err)
		}
		cmd.Path = filepath.Join(dir, "turncue")
		if err := os.WriteFile(cmd.Path, b, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.Chmod(dir, 0o755); err != nil {
			t.Fatal(err)
		}
		cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	}
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	cmd.Dir = "/"
	err = cmd.Run()
	if code := cmd.ProcessState.ExitCode(); err == nil || code != exitRefused {
		t.Fatalf("exit %d: %s", code, out.String())
	}
	holds(t, out.String(), "turncue: no place can be kept in "+state, "permission denied", "set XDG_STATE_HOME to a directory that can be written")
	if strings.Count(out.String(), "\n") != 1 {
		t.Errorf("more than one line: %q", out.String())
	}
}

// later writes a journal's records with other times.
func later(t *testing.T, path string, by time.Duration) {
	t.Helper()
	b, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	for _, line := range bytes.Split(bytes.TrimSpace(b), []byte("\n")) {
		text, _, ok := bytes.Cut(line, []byte("\t"))
		var r runner.Record
		if err := json.Unmarshal(text, &r); err != nil || !ok {
			t.Fatal(err, string(line))
		}
		r.Time = r.Time.Add(by)
		again, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&out, "%s\t%08x\n", again, crc32.Checksum(again, crc32.MakeTable(crc32.Castagnoli)))
	}
	if err := os.WriteFile(path, out.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
}

// The clock was set back since the run was left: it is told, and the place is the same.
func TestClockSetBack(t *testing.T) {
	t.Setenv("XDG_STATE_HOME", t.TempDir())
	s := startScript("run", "--control", "-", "--audio", "none")
	s.ask(t, "", "setup/ready", "running")
	s.ask(t, "next", "setup/hold", "running")
	s.finish(t)
	all, err := journals()
	if err != nil || len(all) != 1 {
		t.Fatal(err, all)
	}
	later(t, all[0].Path, 26*time.Hour)
	again := startScript("resume", "--control", "-", "--audio", "none")
	again.ask(t, "", "setup/hold", "re-check")
	again.ask(t, "next", "setup/hold", "not confirmed")
	again.finish(t)
	errs := again.errs.String()
	holds(t, errs, "turncue: the clock of this computer is ", "behind the last record of this run; your place does not depend on it")
	holds(t, call(t, exitDone, "log", "1"), "the clock was set back by ", "the order of the records does not depend on it")
}

func TestBehind(t *testing.T) {
	now := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	if got := clockBehind([]runner.Record{{Time: now.Add(2 * time.Hour)}}, now); !strings.Contains(got, "is 2h0m0s behind") {
		t.Errorf("got %q", got)
	}
	for _, records := range [][]runner.Record{nil, {{Time: now}}, {{Time: now.Add(time.Second)}}, {{Time: now.Add(-time.Hour)}}} {
		if got := clockBehind(records, now); got != "" {
			t.Errorf("got %q", got)
		}
	}
}
