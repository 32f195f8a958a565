package speaker

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"time"
)

// players are the programs that play raw samples from their standard input. Without
// these options they would buffer over half a second.
var players = [][]string{
	{"pacat", "--raw", "--rate=48000", "--channels=2", "--format=s16le", "--latency-msec=" + childLatency, "--client-name=turncue"},
	{"aplay", "-q", "-t", "raw", "-f", "S16_LE", "-r", "48000", "-c", "2", "--buffer-time=" + childBuffer, "--period-time=" + childPeriod, "-"},
}

// earlyDeath is how long a program must live to count as playing.
const earlyDeath = 400 * time.Millisecond

// pipeDevice plays through a child program.
type pipeDevice struct {
	commands [][]string
	mu       sync.Mutex
	child    *child
	name     string
}

func newPipe() *pipeDevice { return &pipeDevice{commands: players, name: "player program"} }

func (d *pipeDevice) Name() string {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.name
}

// Start closes the program it started before, if any, and starts the first of its
// programs that is there and stays alive.
func (d *pipeDevice) Start(samples io.Reader) error {
	_ = d.Close() // never fails
	var missing []string
	var errs []error
	for _, argv := range d.commands {
		path, err := exec.LookPath(argv[0])
		if err != nil {
			missing = append(missing, argv[0])
			continue
		}
		c, err := startChild(path, argv[1:], samples)
		if err != nil {
			errs = append(errs, err)
			continue
		}
		d.mu.Lock()
		d.child, d.name = c, filepath.Base(argv[0])
		d.mu.Unlock()
		return nil
	}
	if len(errs) == 0 {
		return fmt.Errorf("%s not found", strings.Join(missing, " and "))
	}
	return errors.Join(errs...)
}

func (d *pipeDevice) Err() error {
	if c := d.current(); c != nil {
		select {
		case <-c.ended:
			return c.err
		default:
		}
	}
	return nil
}

func (d *pipeDevice) Close() error {
	c := d.current()
	if c == nil {
		return nil
	}
	d.mu.Lock()
	d.child = nil
	d.mu.Unlock()
	c.close()
	return nil
}

func (d *pipeDevice) current() *child {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.child
}

type child struct {
	stdin *os.File
	quit  chan struct{} // closed: no more samples
	once  sync.Once
	ended chan struct{} // closed after the program has ended and err is set
	err   error
	kill  func()
}

func startChild(path string, args []string, samples io.Reader) (*child, error) {
	name := filepath.Base(path)
	r, w, err := os.Pipe()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	shrinkPipe(w, childPipeSize)
	cmd := exec.Command(path, args...)
	cmd.Stdin = r
	var stderr tail
	cmd.Stderr = &stderr
	cmd.WaitDelay = closeLimit // something may hold its standard error open
	ownGroup(cmd)

	c := &child{stdin: w, quit: make(chan struct{}), ended: make(chan struct{})}
	started := make(chan error)
	go func() {
		// The death signal comes when the thread that started the child ends, so
		// that thread is held until the child has ended.
		runtime.LockOSThread()
		defer runtime.UnlockOSThread()
		err := cmd.Start()
		r.Close()
		started <- err
		if err != nil {
			return
		}
		err = cmd.Wait()
		c.err = fmt.Errorf("%s ended: %s", name, stderr.lastLine(err))
		close(c.ended)
		w.Close()
	}()
	if err := <-started; err != nil {
		w.Close()
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	c.kill = func() { _ = cmd.Process.Kill() }
	go c.feed(samples)

	early := time.NewTimer(earlyDeath)
	defer early.Stop()
	select {
	case <-c.ended:
		c.close()
		return nil, c.err
	case <-early.C:
		return c, nil
	}
}

// feed writes 10 ms at a time; the full pipe sets the pace.
func (c *child) feed(samples io.Reader) {
	buf := make([]byte, bytesPerSec/100)
	for {
		select {
		case <-c.quit:
			c.stdin.Close() // the program plays what it has and ends
			return
		default:
		}
		n, err := samples.Read(buf)
		if n > 0 {
			if _, werr := c.stdin.Write(buf[:n]); werr != nil {
				return
			}
		}
		if err != nil {
			c.stdin.Close()
			return
		}
	}
}

// close ends the program, after it has played what it was given if that is soon.
func (c *child) close() {
	c.once.Do(func() { close(c.quit) })
	t := time.NewTimer(closeLimit)
	defer t.Stop()
	select {
	case <-c.ended:
	case <-t.C:
		c.kill()
		<-c.ended
	}
}

// tail keeps the end of what a program writes to its standard error.
type tail struct {
	mu  sync.Mutex
	buf []byte
}

func (t *tail) Write(p []byte) (int, error) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.buf = append(t.buf, p...)
	if len(t.buf) > 1024 {
		t.buf = append([]byte(nil), t.buf[len(t.buf)-1024:]...)
	}
	return len(p), nil
}

// lastLine is the program's last words, or how it ended.
func (t *tail) lastLine(err error) string {
	t.mu.Lock()
	defer t.mu.Unlock()
	lines := bytes.Split(bytes.TrimSpace(t.buf), []byte("\n"))
	if s := strings.TrimSpace(string(lines[len(lines)-1])); s != "" {
		return s
	}
	if err != nil {
		return err.Error()
	}
	return "without a reason"
}
