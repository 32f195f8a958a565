package thread_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// rows reads a published table from testdata/standards as one map a row. A table
// without rows fails the test.
func rows(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "standards", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	return readRows(t, f, name)
}

func readRows(t testing.TB, f *os.File, name string) []map[string]string {
	t.Helper()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if len(all) < 2 {
		t.Fatalf("%s has no rows", name)
	}
	out := make([]map[string]string, 0, len(all)-1)
	for _, rec := range all[1:] {
		m := make(map[string]string, len(rec))
		for i, v := range rec {
			m[all[0][i]] = v
		}
		out = append(out, m)
	}
	return out
}

// cases reads the expected answers of one case from testdata/cases.csv.
func cases(t testing.TB, id string) map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "..", "testdata", "cases.csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	for _, r := range readRows(t, f, "cases.csv") {
		if r["id"] == id {
			return r
		}
	}
	t.Fatalf("cases.csv has no %s", id)
	return nil
}

// number is a figure of a table.
func number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	if err != nil {
		t.Fatalf("%q is no figure: %v", s, err)
	}
	return v
}

// comparison counts what was compared with a published table, and how well it
// agreed.
type comparison struct {
	t               *testing.T
	name            string
	limit           float64
	asserted, memo  int
	worst, worstMem float64
}

func (c *comparison) row(what, confidence string, got, want float64) {
	c.t.Helper()
	d := math.Abs(got - want)
	if confidence == "memory" {
		c.memo++
		c.worstMem = math.Max(c.worstMem, d)
		return
	}
	c.asserted++
	c.worst = math.Max(c.worst, d)
	if d > c.limit+1e-9 {
		c.t.Errorf("%s: %s is %.6g, the table has %.6g", c.name, what, got, want)
	}
}

// done reports, and fails unless exactly so many rows were compared.
func (c *comparison) done(want int) {
	c.t.Helper()
	c.t.Logf("%s: %d rows compared, worst %.6g (limit %g); %d more from memory, worst %.6g", c.name, c.asserted, c.worst, c.limit, c.memo, c.worstMem)
	if c.asserted == 0 || c.asserted+c.memo != want {
		c.t.Errorf("%s: %d rows compared, the table has %d", c.name, c.asserted+c.memo, want)
	}
}
