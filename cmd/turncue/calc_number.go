package main

import (
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"

	"turncue/calc"
)

// calcMM is a length as a JSON number of millimetres, at most six places.
type calcMM calc.Length

// MarshalJSON is the number without zeros at its end.
func (l calcMM) MarshalJSON() ([]byte, error) {
	return []byte(calc.Length(l).Trimmed(calc.Millimetre, 6)), nil
}

// calcNumber is a floating point figure as a JSON number, at most six places.
type calcNumber float64

// MarshalJSON is the number without zeros at its end; what is no number is null.
func (n calcNumber) MarshalJSON() ([]byte, error) {
	if math.IsNaN(float64(n)) || math.IsInf(float64(n), 0) {
		return []byte("null"), nil
	}
	v := math.Round(float64(n)*1e6) / 1e6
	if v == 0 {
		v = 0 // no minus zero
	}
	return []byte(strconv.FormatFloat(v, 'f', -1, 64)), nil
}

// calcMMs is a list of lengths, never null.
func calcMMs(in []calc.Length) []calcMM {
	out := make([]calcMM, len(in))
	for i, l := range in {
		out[i] = calcMM(l)
	}
	return out
}

// calcList is a list that is never null in JSON.
func calcList[T any](in []T) []T {
	if in == nil {
		return []T{}
	}
	return in
}

// calcJSON writes a result as indented JSON.
func calcJSON(w io.Writer, v any) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// calcFlag names the flag in an error about what it was given.
func calcFlag(flag string, err error) error { return fmt.Errorf("--%s: %w", flag, err) }

// calcLength reads a length given to a flag; an empty one is zero.
func calcLength(flag, s string) (calc.Length, error) {
	if s == "" {
		return 0, nil
	}
	l, err := calc.ParseLength(s)
	if err != nil {
		return 0, calcFlag(flag, err)
	}
	return l, nil
}

// calcLead reads a lead given to a flag; an empty one is none.
func calcLead(flag, s string) (calc.Lead, error) {
	if s == "" {
		return calc.Lead{}, nil
	}
	l, err := calc.ParseLead(s)
	if err != nil {
		return calc.Lead{}, calcFlag(flag, err)
	}
	return l, nil
}
