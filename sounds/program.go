package sounds

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"time"
)

const (
	programLimit     = 20 * time.Second
	mostProgramBytes = 32 << 20
	programPeak      = 0.8 // as the clips have
)

// A Program is a voice of any program that reads text from its standard input and
// writes a WAV to its standard output. What it said once is kept in a folder and not
// asked for again. It may be used from several goroutines.
type Program struct {
	Command  string        // for the shell: "espeak-ng -v de --stdout"
	Language *Language     // nil is [English]
	Cache    string        // a folder; "" keeps nothing
	Limit    time.Duration // the longest that a cue may take; zero is 20 s
}

// SpokenCache is the folder of the user in which spoken cues are kept: in Linux
// $XDG_CACHE_HOME/turncue/spoken.
func SpokenCache() (string, error) {
	dir, err := os.UserCacheDir()
	if err != nil {
		return "", fmt.Errorf("no folder to keep what was spoken: %w", err)
	}
	return filepath.Join(dir, "turncue", "spoken"), nil
}

// Render has the program say the parts, or takes what it said before. The error is one
// line that names the command and what to do.
func (p *Program) Render(ctx context.Context, parts []string) (*Clip, error) {
	l := p.Language
	if l == nil {
		l = English
	}
	text, err := l.Sentences(parts)
	if err != nil || text == "" {
		return &Clip{}, err
	}
	key := sha256.Sum256([]byte(p.Command + "\x00" + text))
	file := filepath.Join(p.Cache, hex.EncodeToString(key[:16])+".wav")
	if p.Cache != "" {
		if data, err := os.ReadFile(file); err == nil {
			if clip, err := programClip(data); err == nil {
				return clip, nil
			} // a damaged one is made again
		}
	}
	data, err := p.speak(ctx, text)
	if err != nil {
		return nil, fmt.Errorf("--speak-with %q: %w", p.Command, err)
	}
	clip, err := programClip(data)
	if err != nil {
		return nil, fmt.Errorf("--speak-with %q: what it wrote is no sound: %s; it must write a WAV to its standard output", p.Command, oneLine(err))
	}
	if p.Cache != "" {
		if err := keep(file, data); err != nil {
			return clip, fmt.Errorf("what was spoken cannot be kept: %w", err)
		}
	}
	return clip, nil
}

func programClip(data []byte) (*Clip, error) {
	if len(data) == 0 {
		return nil, errors.New("empty")
	}
	x, rate, err := decodeWAV(data)
	if err != nil {
		return nil, err
	}
	if err := fit(x, rate); err != nil {
		return nil, err
	}
	if x, err = trim(x, rate); err != nil {
		return nil, err
	}
	peak := 0.0
	for _, v := range x {
		peak = max(peak, v, -v)
	}
	for i := range x {
		x[i] *= programPeak / peak
	}
	return resample(x, rate), nil
}

func (p *Program) speak(ctx context.Context, text string) ([]byte, error) {
	limit := p.Limit
	if limit == 0 {
		limit = programLimit
	}
	ctx, cancel := context.WithTimeout(ctx, limit)
	defer cancel()
	cmd := shell(ctx, p.Command)
	cmd.Stdin = strings.NewReader(text + "\n")
	out, complaint := &bounded{most: mostProgramBytes}, &bounded{most: 4096}
	cmd.Stdout, cmd.Stderr = out, complaint
	together(cmd)
	cmd.WaitDelay = time.Second // children that keep the pipe open
	err := cmd.Run()
	switch {
	case errors.Is(ctx.Err(), context.DeadlineExceeded):
		return nil, fmt.Errorf("nothing after %v; it must end when it has spoken", limit)
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case out.over:
		return nil, fmt.Errorf("it wrote more than %d MB", mostProgramBytes>>20)
	case err != nil:
		lines := strings.Split(strings.TrimSpace(string(complaint.kept)), "\n")
		return nil, fmt.Errorf("it failed: %w: %s", err, lines[len(lines)-1])
	}
	return out.kept, nil
}

func shell(ctx context.Context, command string) *exec.Cmd {
	if runtime.GOOS == "windows" {
		return exec.CommandContext(ctx, "cmd", "/C", command)
	}
	return exec.CommandContext(ctx, "sh", "-c", command)
}

// bounded keeps so much and remembers that there was more.
type bounded struct {
	kept []byte
	most int
	over bool
}

func (b *bounded) Write(p []byte) (int, error) {
	room := min(len(p), b.most-len(b.kept))
	b.kept = append(b.kept, p[:room]...)
	b.over = b.over || room < len(p)
	return len(p), nil
}

// keep writes a file whole or not at all: another run may read it meanwhile.
func keep(file string, data []byte) error {
	dir := filepath.Dir(file)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return plainPath(err)
	}
	f, err := os.CreateTemp(dir, "new-*")
	if err != nil {
		return plainPath(err)
	}
	_, err = f.Write(data)
	err = errors.Join(err, f.Close())
	if err == nil {
		err = os.Rename(f.Name(), file)
	}
	if err != nil {
		return errors.Join(err, os.Remove(f.Name()))
	}
	return nil
}

func plainPath(err error) error {
	var p *fs.PathError
	if errors.As(err, &p) {
		return fmt.Errorf("%s: %w", p.Path, p.Err)
	}
	return err
}
