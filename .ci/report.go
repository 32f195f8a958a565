//go:build ignore

// Report reads the JSON of go test, prints what failed with its output, counts, and
// fails on a failure and on a skipped test that is not listed.
package main

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"regexp"
	"strings"
)

func main() {
	may := flag.String("may-skip", "^$", "tests that may be skipped")
	flag.Parse()
	allowed := regexp.MustCompile(*may)
	output := map[string]*strings.Builder{}
	var passed, failed, skipped int
	bad := false
	in := bufio.NewScanner(os.Stdin)
	in.Buffer(nil, 1<<24)
	for in.Scan() {
		var e struct{ Action, Package, Test, Output string }
		if json.Unmarshal(in.Bytes(), &e) != nil {
			fmt.Println(in.Text())
			continue
		}
		key := e.Package + " " + e.Test
		if output[key] == nil {
			output[key] = &strings.Builder{}
		}
		switch e.Action {
		case "output", "build-output":
			output[key].WriteString(e.Output)
		case "pass":
			if e.Test != "" {
				passed++
			}
		case "skip":
			if e.Test == "" {
				continue
			}
			skipped++
			if !allowed.MatchString(e.Test) {
				bad = true
				fmt.Printf("SKIPPED %s\n%s", key, output[key])
			}
		case "fail", "build-fail":
			failed++
			bad = true
			fmt.Printf("FAILED %s\n%s", key, output[key])
		}
	}
	fmt.Printf("%d passed, %d failed, %d skipped\n", passed, failed, skipped)
	if bad || passed == 0 {
		os.Exit(1)
	}
}
