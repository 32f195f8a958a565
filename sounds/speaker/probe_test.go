package speaker

import (
	"net"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
)

func TestServerAddress(t *testing.T) {
	for _, c := range []struct{ server, network, address string }{
		{"unix:/run/user/7/pulse/native", "unix", "/run/user/7/pulse/native"},
		{"/tmp/native", "unix", "/tmp/native"},
		{"{0123abcd}unix:/tmp/native", "unix", "/tmp/native"},
		{"tcp:workshop:4714", "tcp", "workshop:4714"},
		{"tcp:workshop", "tcp", "workshop:4713"},
		{"tcp4:10.0.0.2", "tcp", "10.0.0.2:4713"},
		{"tcp6:[::1]:9", "tcp", "[::1]:9"},
		{"tcp6:[::1]", "tcp", "[::1]:4713"},
		{"workshop", "tcp", "workshop:4713"},
	} {
		if n, a := serverAddress(c.server); n != c.network || a != c.address {
			t.Errorf("%s is %s %s, want %s %s", c.server, n, a, c.network, c.address)
		}
	}
}

func TestProbe(t *testing.T) {
	if runtime.GOOS != "linux" {
		if err := probe(t.Context(), "/nothing"); err != nil {
			t.Errorf("only linux is asked: %v", err)
		}
		return
	}
	dir, err := os.MkdirTemp("", "pr") // short enough for a socket
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	if err := os.Mkdir(filepath.Join(dir, "pulse"), 0o700); err != nil {
		t.Fatal(err)
	}
	listen := func(path string) {
		l, err := net.Listen("unix", path)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { l.Close() })
	}
	listen(filepath.Join(dir, "pulse", "native"))
	listen(filepath.Join(dir, "other"))
	card := filepath.Join(dir, "pcmC0D0p")
	if err := os.WriteFile(card, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	empty := t.TempDir()
	for _, c := range []struct {
		name, runtimeDir, server, alsa, cards string
		sound                                 bool
	}{
		{"nothing", empty, "", "", "/nothing", false},
		{"the user's server", dir, "", "", "/nothing", true},
		{"server named", empty, "unix:" + filepath.Join(dir, "other"), "", "/nothing", true},
		{"second server named", empty, "unix:/nothing unix:" + filepath.Join(dir, "other"), "", "/nothing", true},
		{"server named and gone", dir, "unix:/nothing", "", "/nothing", false},
		{"card", empty, "unix:/nothing", "", filepath.Join(dir, "pcmC*D*p"), true},
		{"configured", empty, "", "/etc/a.conf", "/nothing", true},
	} {
		t.Setenv("XDG_RUNTIME_DIR", c.runtimeDir)
		t.Setenv("PULSE_SERVER", c.server)
		t.Setenv("ALSA_CONFIG_PATH", c.alsa)
		if err := probe(t.Context(), c.cards); (err == nil) != c.sound {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// Started through sudo, ssh or a service the folder's name is lost.
func TestRuntimeDir(t *testing.T) {
	t.Setenv("XDG_RUNTIME_DIR", "")
	setRuntimeDir(987654321)
	if got := os.Getenv("XDG_RUNTIME_DIR"); got != "" {
		t.Errorf("set to %s, which is not there", got)
	}
	t.Setenv("XDG_RUNTIME_DIR", "/kept")
	setRuntimeDir(os.Getuid())
	if got := os.Getenv("XDG_RUNTIME_DIR"); got != "/kept" {
		t.Errorf("set to %s although it was set", got)
	}
}

func TestOneLineWithoutSound(t *testing.T) {
	if runtime.GOOS != "linux" || serverAnswersHere(t) {
		return // another system, or a desktop with its card
	}
	lines := make(chan string, 8)
	p := Open(Options{Tell: func(s string) { lines <- s }})
	defer p.Close()
	want := "no sound: no sound server and no sound card; going on with screen and terminal bell"
	if got := <-lines; got != want {
		t.Errorf("told %q", got)
	}
	<-p.Settled()
	if p.Device() != "" || strings.Contains(want, "\n") {
		t.Error("a device sounds")
	}
}

// serverAnswersHere takes away what can be taken from a test's environment and says
// whether there is sound nevertheless.
func serverAnswersHere(t *testing.T) bool {
	t.Setenv("XDG_RUNTIME_DIR", t.TempDir())
	t.Setenv("PULSE_SERVER", "")
	t.Setenv("ALSA_CONFIG_PATH", "")
	return probe(t.Context(), soundCards) == nil
}
