package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"turncue/calc"
	"turncue/calc/gear"
)

// calcLevers reads "A=1,B=1/2".
func calcLevers(s string) (out []gear.Lever, err error) {
	if s == "" {
		return nil, nil
	}
	for _, f := range strings.Split(s, ",") {
		name, ratio, ok := strings.Cut(f, "=")
		name = strings.TrimSpace(name)
		r, err := calc.ParseRatio(ratio)
		if !ok || name == "" || err != nil || r.Sign() <= 0 {
			return nil, fmt.Errorf("--levers: %q: write positions with their ratios, such as A=1,B=1/2", f)
		}
		out = append(out, gear.Lever{Name: name, Ratio: r})
	}
	return out, nil
}

type calcScratchResult struct {
	Wanted calcMM     `json:"wanted_mm"`
	Cut    calcMM     `json:"cut_mm"`
	TPI    calcNumber `json:"cut_tpi"`
	Error  calcNumber `json:"error_ppm"`
	Right  bool       `json:"right"`
	Likely []string   `json:"likely"`
}

// calcScratch reads a scratch pass and says what was cut.
func calcScratch(out io.Writer, f calcGearsFlags, w gear.Want, train *gear.Train) error {
	n, over, ok := strings.Cut(f.scratch, "@")
	threads, err := strconv.Atoi(strings.TrimSpace(n))
	if !ok || err != nil || threads < 1 {
		return fmt.Errorf("--scratch: %q: write the threads counted and the length over them, such as 10@15mm", f.scratch)
	}
	length, err := calcPositive("scratch", over)
	if err != nil {
		return err
	}
	if train == nil {
		train = &gear.Train{}
	}
	res, err := gear.Scratch{Threads: threads, Length: length}.Read(w, *train)
	if err != nil {
		return calcFlag("scratch", err)
	}
	tpi, err := res.Lead.PerInch()
	if err != nil {
		return calcFlag("scratch", err)
	}
	r := calcScratchResult{calcMM(w.Lead.Length()), calcMM(res.Lead.Length()), calcNumber(tpi.Float()), calcNumber(res.Error.Float() * 1e6), res.Right, calcList(res.Likely)}
	if f.json {
		return calcJSON(out, r)
	}
	fmt.Fprintf(out, "wanted  %s\n", w.Lead)
	fmt.Fprintf(out, "cut     %s mm, %.2f tpi, %+.1f %%\n", calc.Length(r.Cut).Decimal(calc.Millimetre, 4), tpi.Float(), res.Error.Float()*100)
	if r.Right {
		fmt.Fprintln(out, "right, as far as a rule tells")
		return nil
	}
	fmt.Fprintln(out, "stop: this is not the thread wanted")
	for _, l := range r.Likely {
		fmt.Fprintf(out, "likely: %s\n", l)
	}
	return nil
}
