package main

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"turncue/calc"
	"turncue/calc/setup"
)

// calcAlignCommand is turncue calc align: the tailstock in line with the spindle.
func calcAlignCommand() *cobra.Command {
	var head, tail, apart, centres string
	c := &cobra.Command{
		Use:   "align",
		Short: "How far to move the tailstock so that a bar between centres is turned parallel",
		Long: `Gives the move of the tailstock from the diameters of two collars turned at one
setting of the cross slide, one near the spindle and one near the tailstock. Towards
the tool where the tail end came out large.`,
		Example: `  turncue calc align --head 20.00mm --tail 20.06mm --apart 200mm --centres 240mm`,
	}
	fl := c.Flags()
	fl.StringVar(&head, "head", "", "diameter turned near the spindle: 20.00mm")
	fl.StringVar(&tail, "tail", "", "diameter turned near the tailstock: 20.06mm")
	fl.StringVar(&apart, "apart", "", "distance between the two: 200mm")
	fl.StringVar(&centres, "centres", "", "length of the bar between its centres (the distance between the two)")
	return calcSum(c, func([]string) (calcFigures, error) {
		var h, t, a, l calc.Length
		if err := calcLengths(calcGiven{"head", head, &h}, calcGiven{"tail", tail, &t}, calcGiven{"apart", apart, &a}, calcGiven{"centres", centres, &l}); err != nil {
			return nil, err
		}
		if err := calcNeed(calcNeeded{"head", "the diameter turned near the spindle, such as 20.00mm", h}, calcNeeded{"tail", "the diameter turned near the tailstock, such as 20.06mm", t},
			calcNeeded{"apart", "the distance between the two, such as 200mm", a}); err != nil {
			return nil, err
		}
		if l == 0 {
			l = a
		}
		move, err := setup.Align(h, t, a, l)
		if err != nil {
			return nil, calcFlag("centres", err)
		}
		way := "towards the tool"
		switch {
		case move < 0:
			way = "away from the tool"
		case move == 0:
			way = "stays where it is"
		}
		return calcFigures{
			{"move_mm", calcMM(move), "tailstock", fmt.Sprintf("%s %s", calcThree(move.Abs()), way)},
			{"direction", way, "", ""},
			calcLengthRow("taper_mm", "difference now", t-h),
			calcNote("then", "turn both collars again and measure: the set-over screws seldom do what they say"),
		}, nil
	})
}

// calcFourJawCommand is turncue calc fourjaw: a bar true in independent jaws.
func calcFourJawCommand() *cobra.Command {
	var readings, screw string
	c := &cobra.Command{
		Use:   "fourjaw",
		Short: "Which jaws of a four-jaw chuck to move, and how far",
		Long: `Gives the moves for a bar in a four-jaw chuck from the readings of an indicator with
each jaw in turn in front of it, larger where the bar stands out more. Opposite jaws
are moved as a pair by half the difference of their readings.`,
		Example: `  turncue calc fourjaw --readings 0.30mm,0.05mm,0.10mm,0.15mm --screw 1.5mm`,
	}
	c.Flags().StringVar(&readings, "readings", "", "at jaws 1, 2, 3 and 4: 0.30mm,0.05mm,0.10mm,0.15mm")
	c.Flags().StringVar(&screw, "screw", "", "pitch of the jaw screws, for the turn of the key: 1.5mm, 20tpi")
	return calcSum(c, func([]string) (calcFigures, error) {
		if readings == "" {
			return nil, calcMissing("readings", "the indicator at jaws 1, 2, 3 and 4, such as 0.30mm,0.05mm,0.10mm,0.15mm")
		}
		parts := strings.Split(readings, ",")
		if len(parts) != 4 {
			return nil, fmt.Errorf("--readings: %d readings: give four, in the order of the jaws", len(parts))
		}
		var r [4]calc.Length
		for i, p := range parts {
			v, err := calc.ParseLength(strings.TrimSpace(p))
			if err != nil {
				return nil, calcFlag("readings", err)
			}
			r[i] = v
		}
		lead, err := calcLead("screw", screw)
		if err != nil {
			return nil, err
		}
		type pair struct {
			Slacken int         `json:"slacken"`
			Tighten int         `json:"tighten"`
			Move    calcMM      `json:"move_mm"`
			Turn    *calcNumber `json:"turn_deg"`
		}
		var pairs []pair
		rows := calcFigures{{"moves", nil, "", ""}}
		for _, m := range setup.FourJawMoves(r) {
			p := pair{Slacken: m.To, Tighten: m.From, Move: calcMM(m.Move)}
			text := fmt.Sprintf("slacken jaw %d, tighten jaw %d: the bar moves %s", m.To, m.From, calcThree(m.Move))
			if m.Move == 0 {
				text = fmt.Sprintf("jaws %d and %d stay as they are", m.From, m.To)
			} else if !lead.IsZero() {
				turn, err := setup.JawTurn(m.Move, lead)
				if err != nil {
					return nil, calcFlag("screw", err)
				}
				n := calcNumber(turn.Degrees())
				p.Turn = &n
				text += fmt.Sprintf(", %.0f degrees of the key", turn.Degrees())
			}
			pairs = append(pairs, p)
			rows = append(rows, calcNote(fmt.Sprintf("pair %d", len(pairs)), text))
		}
		rows[0].value = pairs
		return append(rows, calcNote("where the high spot is between jaws", "take a third of it, turn round and read again (common practice)")), nil
	})
}
