package thread_test

import (
	"strings"
	"testing"

	"turncue/calc"
	"turncue/calc/thread"
)

// DIN 76-1 tables 1 and 2. Nearly all rows are from memory, and so are ours:
// the comparison guards the typing. Rows seen in print as well are asserted.
func TestUndercutTable(t *testing.T) {
	c := comparison{t: t, name: "undercut.csv", limit: 0}
	table := rows(t, "undercut.csv")
	for _, r := range table {
		pitch := calc.PerTurn(calc.Millimetres(number(t, r["P_mm"])))
		find := thread.UndercutFor
		if r["side"] == "int" {
			find = thread.InsideUndercutFor
		}
		form := thread.Regular
		if q := r["quantity"]; strings.HasSuffix(q, "_B") || strings.HasSuffix(q, "_D") {
			form = thread.Short
		}
		u, err := find(pitch, form)
		if err != nil {
			t.Fatal(err)
		}
		var got calc.Length
		switch q := r["quantity"]; {
		case strings.HasPrefix(q, "g1"):
			got = u.MinWidth
		case strings.HasPrefix(q, "g2"):
			got = u.MaxWidth
		case q == "r":
			got = u.Radius
		case q == "dg_offset":
			got = u.Offset
		case strings.HasPrefix(q, "runout"):
			got = u.RunOut
		default:
			t.Fatalf("quantity %q is not known", q)
		}
		want := number(t, r["value"])
		if got.Millimetres() != want {
			t.Errorf("%s P %s %s is %s, the table has %g", r["side"], r["P_mm"], r["quantity"], got, want)
		}
		c.row(r["quantity"], r["confidence"], got.Millimetres(), want)
	}
	c.done(len(table))
}

func TestUndercutRefusals(t *testing.T) {
	inch, err := calc.PerInch(calc.Whole(16)) // 1.5875 mm
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		pitch      calc.Lead
		form, want string
	}{
		{inch, "regular", "its neighbours are for 1.5 mm and 1.75 mm"},
		{calc.PerTurn(100 * calc.Micrometre), "short", "the finest is for 0.2 mm"},
		{calc.PerTurn(6 * calc.Millimetre), "short", "the coarsest is for 4 mm"},
		{calc.PerTurn(calc.Millimetre), "long", `undercut "long" is not known`},
	} {
		if _, err := thread.UndercutFor(c.pitch, c.form); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s %s: %v, want %q in it", c.pitch, c.form, err, c.want)
		}
	}
	cases(t, "C110") // to a shoulder: at most 9.472 mm in diameter and at least 2.63 mm wide
	u, err := parse(t, "M12x1.75-6g").Undercut(thread.Regular)
	if u.Diameter(length(t, "12 mm")) > length(t, "9.472 mm") || u.MinWidth < length(t, "2.63 mm") {
		t.Errorf("C110: %+v", u)
	}
	if err != nil || u.Diameter(length(t, "12 mm")) != length(t, "9.4 mm") || u.Source != "DIN 76-1 (from memory)" {
		t.Errorf("M12x1.75: %+v, %v", u, err)
	}
}
