package terminal

import (
	"os"
	"os/signal"
)

// On Windows the reader takes whole key events from the console, so there are no
// tables, no modes and no settings to put back.

func canSuspend() bool { return false }

type tty struct{}

func openTTY() (*tty, error) {
	f, err := os.OpenFile("CONIN$", os.O_RDWR, 0)
	if err != nil {
		return nil, ErrNoTerminal
	}
	f.Close()
	return &tty{}, nil
}

func (*tty) inFront() bool        { return true }
func (*tty) flush()               {}
func (*tty) strip()               {}
func (*tty) prepare(string, bool) {}
func (*tty) restore()             {}
func (*tty) close()               {}

func escapeTable() (dir, file string, done func(), ok bool) { return "", "", nil, false }

func notify(c chan os.Signal) { signal.Notify(c, os.Interrupt) }

func stopNotify(c chan os.Signal) { signal.Stop(c) }

func (k *Keys) signal(os.Signal, chan os.Signal) { k.send(Key{Name: "interrupt", At: k.Now()}) }

func (k *Keys) suspend(chan os.Signal) {}
