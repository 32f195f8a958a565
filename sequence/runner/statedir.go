package runner

import (
	"fmt"
	"os"
	"path/filepath"
)

// StateDir is where journals are kept: $XDG_STATE_HOME/turncue when that is set to an
// absolute path, otherwise .local/state/turncue in the home directory. No home
// directory is an error.
func StateDir() (string, error) {
	if d := os.Getenv("XDG_STATE_HOME"); filepath.IsAbs(d) {
		return filepath.Join(d, "turncue"), nil
	}
	home, err := os.UserHomeDir()
	if err != nil || !filepath.IsAbs(home) {
		return "", fmt.Errorf("no home directory to keep the place in: set HOME, or XDG_STATE_HOME to a directory")
	}
	return filepath.Join(home, ".local", "state", "turncue"), nil
}
