package terminal

import (
	"os"
	"testing"
)

// childMark in the environment makes the test program the program under test.
const childMark = "TURNCUE_TERMINAL_CHILD"

func TestMain(m *testing.M) {
	if mode := os.Getenv(childMark); mode != "" {
		os.Exit(child(mode))
	}
	os.Exit(m.Run())
}
