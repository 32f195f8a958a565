// Command turncue leads a person at a manual lathe from a part to a finished,
// measured piece: it plans the steps and then speaks, beeps and shows them one by
// one as a foot pedal or a key moves on. It never moves the lathe, and it never says
// when to stop a moving carriage.
package main

import (
	"context"
	"os"

	"turncue/cmd/turncue/terminal"
)

func main() {
	os.Exit(guarded(os.Args[1:], func() int {
		return run(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	}))
}

// guarded puts the commands that take the terminal over under a parent that mends it
// after a crash.
func guarded(args []string, f func() int) int {
	if len(args) > 0 && (args[0] == "run" || args[0] == "resume" || args[0] == "pedal") {
		return terminal.Guard(f)
	}
	return f()
}
