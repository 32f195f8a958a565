package runner

import (
	"flag"
	"os"
	"testing"
)

var update = flag.Bool("update", false, "write the golden files anew")

func TestMain(m *testing.M) {
	if dir := os.Getenv(childDir); dir != "" { // this process is the one to be killed
		if err := child(dir, os.Stdout); err != nil {
			os.Stderr.WriteString(err.Error() + "\n")
			os.Exit(1)
		}
		os.Exit(0)
	}
	flag.Parse()
	os.Exit(m.Run())
}
