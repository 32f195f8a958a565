package job

import _ "embed"

//go:embed example/foot.job.toml
var exampleJob string

//go:embed example/bench.lathe.toml
var exampleLathe string

// The names the example's two files are shown under.
const (
	ExampleJobPath   = "foot.job.toml"
	ExampleLathePath = "bench.lathe.toml"
)

// Example is the built-in job and lathe. Both are part of the program, so a fault
// in them is a fault of the program, and it panics.
func Example() (*Job, *Lathe) {
	j, err := ParseJob(ExampleJobPath, exampleJob)
	if err != nil {
		panic(err)
	}
	l, err := ParseLathe(ExampleLathePath, exampleLathe)
	if err != nil {
		panic(err)
	}
	return j, l
}

// ExampleText is the text of the built-in job and of its lathe, to be copied and
// changed.
func ExampleText() (job, lathe string) { return exampleJob, exampleLathe }
