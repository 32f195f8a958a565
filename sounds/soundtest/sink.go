package soundtest

import (
	"bytes"
	"fmt"
	"io"
	"net"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"sync"
	"testing"
	"time"
)

// Rate is the number of samples a second of what a Sink records.
const Rate = 48000

const upLimit = 15 * time.Second

// A Sink is a private sound server that records what is played to it.
type Sink struct {
	t      testing.TB
	dir    string
	server *program
	parec  *program

	mu    sync.Mutex
	bytes []byte
	grew  chan struct{} // closed and renewed when bytes grows
}

// program is a child with what it wrote to its standard error.
type program struct {
	cmd    *exec.Cmd
	stderr bytes.Buffer
	ended  chan struct{}
}

// Start runs a server and its recorder and returns once both work. They end with the
// test at the latest.
func Start(t testing.TB) *Sink {
	t.Helper()
	s := prepare(t)
	s.Mend()
	return s
}

// prepare looks whether sound can be captured here and makes the server's folder.
func prepare(t testing.TB) *Sink {
	t.Helper()
	must := t.Skipf
	if ci, _ := strconv.ParseBool(os.Getenv("CI")); ci {
		must = t.Fatalf
	}
	if runtime.GOOS != "linux" {
		t.Skipf("captured sound is tested on linux only, not %s", runtime.GOOS)
	}
	for _, name := range []string{"pulseaudio", "parec"} {
		if _, err := exec.LookPath(name); err != nil {
			must("%s is missing: apt-get install pulseaudio pulseaudio-utils", name)
		}
	}
	// Not t.TempDir: its paths can be longer than a socket's name may be.
	dir, err := os.MkdirTemp("", "pa")
	if err != nil {
		t.Fatal(err)
	}
	s := &Sink{t: t, dir: dir, grew: make(chan struct{})}
	t.Cleanup(func() {
		s.end()
		os.RemoveAll(dir)
	})
	if err := os.Mkdir(filepath.Join(dir, "pulse"), 0o700); err != nil {
		t.Fatal(err)
	}
	return s
}

// Env is what a program needs in its environment to play to the sink.
func (s *Sink) Env() []string {
	return []string{
		"HOME=" + s.dir,
		"XDG_RUNTIME_DIR=" + s.dir,
		"PULSE_SERVER=unix:" + s.socket(),
		"PULSE_COOKIE=" + filepath.Join(s.dir, "none"),
	}
}

// Command is a program that plays to the sink. It runs before others where that is
// allowed (nice -15), because on a machine that is busy with other tests a starved
// program, server or recorder loses sound, which is not what is tested.
func (s *Sink) Command(name string, args ...string) *exec.Cmd {
	cmd := exec.Command(name, args...)
	if nice, err := exec.LookPath("nice"); err == nil {
		// Where it is not allowed nice says so and runs the program nevertheless.
		cmd = exec.Command(nice, append([]string{"-n", "-15", name}, args...)...)
	}
	cmd.Env = append(os.Environ(), s.Env()...)
	return cmd
}

func (s *Sink) socket() string { return filepath.Join(s.dir, "pulse", "native") }

// Break kills the server, as if sound were lost. What was recorded is kept.
func (s *Sink) Break() {
	s.t.Helper()
	s.end()
	if err := os.RemoveAll(s.socket()); err != nil {
		s.t.Fatal(err)
	}
}

// Mend starts the server again after [Sink.Break]. The recording goes on behind what
// was recorded before.
func (s *Sink) Mend() {
	s.t.Helper()
	s.serve("module-null-sink sink_name=cap rate=48000 format=s16le channels=2")
	s.parec = s.run(recorder{s}, "parec", "--raw", "--device=cap.monitor", "--format=s16le", "--rate=48000",
		"--channels=2", "--latency-msec=20")
	if err := s.record(Rate / 20); err != nil {
		s.t.Fatal(err)
	}
}

// serve runs the server with a sink and returns once it answers.
func (s *Sink) serve(sink string) {
	s.t.Helper()
	s.server = s.run(nil, "pulseaudio", "-n", "-F", os.DevNull, "--daemonize=no", "--exit-idle-time=-1",
		"--use-pid-file=no", "--realtime=yes", "--high-priority=yes",
		"-L", "module-native-protocol-unix auth-anonymous=1 socket="+s.socket(), "-L", sink)
	limit := time.NewTimer(upLimit)
	defer limit.Stop()
	again := time.NewTicker(20 * time.Millisecond)
	defer again.Stop()
	for {
		if c, err := net.Dial("unix", s.socket()); err == nil {
			c.Close()
			break
		}
		select {
		case <-again.C:
		case <-s.server.ended:
			s.t.Fatalf("pulseaudio ended: %s", s.server.stderr.String())
		case <-limit.C:
			s.t.Fatalf("pulseaudio does not answer after %v", upLimit)
		}
	}
}

// Record waits until that much more has been recorded, which takes as long as it
// plays.
func (s *Sink) Record(d time.Duration) {
	s.t.Helper()
	if err := s.record(int(d * Rate / time.Second)); err != nil {
		s.t.Fatal(err)
	}
}

func (s *Sink) record(samples int) error {
	limit := time.NewTimer(upLimit + time.Duration(samples)*time.Second/Rate)
	defer limit.Stop()
	s.mu.Lock()
	want := len(s.bytes) + 4*samples
	s.mu.Unlock()
	for {
		s.mu.Lock()
		have, grew := len(s.bytes), s.grew
		s.mu.Unlock()
		if have >= want {
			return nil
		}
		select {
		case <-grew:
		case <-s.parec.ended:
			return fmt.Errorf("parec ended: %s", s.parec.stderr.String())
		case <-limit.C:
			return fmt.Errorf("parec recorded %d samples and then no more", have/4)
		}
	}
}

// Heard is what has been recorded so far: one channel, -1 to 1.
func (s *Sink) Heard() []float64 {
	s.mu.Lock()
	defer s.mu.Unlock()
	out := make([]float64, len(s.bytes)/4)
	for i := range out {
		out[i] = one(s.bytes[4*i:])
	}
	return out
}

// one is a sample of two channels of 16 bits as one of -1 to 1.
func one(b []byte) float64 {
	l := int16(uint16(b[0]) | uint16(b[1])<<8)
	r := int16(uint16(b[2]) | uint16(b[3])<<8)
	return (float64(l) + float64(r)) / 65536
}

// Stop ends recorder and server and gives all that was heard: one channel, 48 000
// samples a second, -1 to 1.
func (s *Sink) Stop() []float64 {
	s.t.Helper()
	// What was just played is still in the recorder's buffer.
	if err := s.record(Rate / 10); err != nil {
		s.t.Fatal(err)
	}
	s.end()
	return s.Heard()
}

// recorder takes what parec writes.
type recorder struct{ s *Sink }

func (r recorder) Write(p []byte) (int, error) {
	s := r.s
	s.mu.Lock()
	defer s.mu.Unlock()
	s.bytes = append(s.bytes, p...)
	close(s.grew)
	s.grew = make(chan struct{})
	return len(p), nil
}

func (s *Sink) run(stdout io.Writer, name string, args ...string) *program {
	s.t.Helper()
	p := &program{cmd: s.Command(name, args...), ended: make(chan struct{})}
	p.cmd.Stdout, p.cmd.Stderr = stdout, &p.stderr
	p.cmd.WaitDelay = time.Second
	if err := p.cmd.Start(); err != nil {
		s.t.Fatal(err)
	}
	go func() {
		_ = p.cmd.Wait() // how it ended is in its standard error
		close(p.ended)
	}()
	return p
}

func (s *Sink) end() {
	for _, p := range []*program{s.parec, s.server} {
		if p == nil {
			continue
		}
		_ = p.cmd.Process.Kill() // it may have ended already
		<-p.ended
	}
	s.parec, s.server = nil, nil
}
