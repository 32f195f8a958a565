package main

import (
	"fmt"
	"time"

	"turncue/sequence/runner"
)

// clockBehind says that the clock on the wall stands before the last record of a run, or ""
// where it does not. Nothing depends on it: the order is that of the records.
func clockBehind(records []runner.Record, now time.Time) string {
	if len(records) == 0 {
		return ""
	}
	by := records[len(records)-1].Time.Sub(now)
	if by <= time.Second {
		return ""
	}
	return fmt.Sprintf("the clock of this computer is %s behind the last record of this run; your place does not depend on it, the times in the log will", by.Round(time.Second))
}
