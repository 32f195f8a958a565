package main

import (
	"turncue/cmd/turncue/terminal"
	"turncue/sequence/runner"
)

// heed adds to a view what somebody new to a step should look, listen and feel for.
func heed(v terminal.View, f runner.Frame) terminal.View {
	if f.Phase == runner.Running {
		v.Lines = append(v.Lines[:len(v.Lines):len(v.Lines)], runner.Heed(f.Step)...)
	}
	return v
}
