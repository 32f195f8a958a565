package speaker

import (
	"context"
	"errors"
	"net"
	"os"
	"path/filepath"
	"runtime"
	"strconv"
	"strings"
	"time"
)

var errNoSound = errors.New("no sound server and no sound card")

// soundCards are the playback devices of the kernel.
const soundCards = "/dev/snd/pcmC*D*p"

const dialLimit = 300 * time.Millisecond

// probe says whether it is worth trying to open a device. Only Linux is asked: its
// sound library writes dozens of lines to the terminal where there is nothing to
// open.
func probe(ctx context.Context, cards string) error {
	if runtime.GOOS != "linux" {
		return nil
	}
	setRuntimeDir(os.Getuid())
	if os.Getenv("ALSA_CONFIG_PATH") != "" || serverAnswers(ctx) {
		return nil
	}
	if found, _ := filepath.Glob(cards); len(found) > 0 {
		return nil
	}
	return errNoSound
}

// setRuntimeDir gives the process the folder of the user's sound server when the
// way it was started (sudo, ssh, a service) lost it: clients would look for a
// relative path otherwise.
func setRuntimeDir(uid int) {
	dir := filepath.Join("/run/user", strconv.Itoa(uid))
	if os.Getenv("XDG_RUNTIME_DIR") != "" {
		return
	}
	if info, err := os.Stat(dir); err == nil && info.IsDir() {
		_ = os.Setenv("XDG_RUNTIME_DIR", dir)
	}
}

// serverAnswers tries the servers of PULSE_SERVER, or the user's own.
func serverAnswers(ctx context.Context) bool {
	servers := strings.Fields(os.Getenv("PULSE_SERVER"))
	if len(servers) == 0 {
		if dir := os.Getenv("XDG_RUNTIME_DIR"); dir != "" {
			servers = []string{filepath.Join(dir, "pulse", "native")}
		}
	}
	for _, s := range servers {
		network, address := serverAddress(s)
		d := net.Dialer{Timeout: dialLimit}
		if c, err := d.DialContext(ctx, network, address); err == nil {
			c.Close()
			return true
		}
	}
	return false
}

// serverAddress reads one server of PULSE_SERVER: [{machine}]unix:path,
// [{machine}]tcp:host[:port], /path or host.
func serverAddress(s string) (network, address string) {
	if strings.HasPrefix(s, "{") {
		if i := strings.IndexByte(s, '}'); i > 0 {
			s = s[i+1:]
		}
	}
	if path, ok := strings.CutPrefix(s, "unix:"); ok {
		return "unix", path
	}
	if strings.HasPrefix(s, "/") {
		return "unix", s
	}
	for _, p := range []string{"tcp4:", "tcp6:", "tcp:"} {
		if host, ok := strings.CutPrefix(s, p); ok {
			s = host
			break
		}
	}
	if _, _, err := net.SplitHostPort(s); err != nil {
		s = net.JoinHostPort(strings.Trim(s, "[]"), "4713")
	}
	return "tcp", s
}
