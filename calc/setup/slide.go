package setup

import (
	"errors"
	"fmt"
	"math"

	"turncue/calc"
)

// TopSlide is a top slide set at an angle. The angle is kept from the lathe's
// axis; lathes whose protractor counts from the cross-slide show the complement,
// which [TopSlide.Protractor] gives.
type TopSlide struct {
	FromAxis calc.Angle
}

// FlankFeed is the setting for feeding a thread tool along its flank, at an angle
// from the cross-slide's direction: 29 to 30 degrees for a 60 degree thread.
func FlankFeed(fromCross calc.Angle) TopSlide { return TopSlide{90*calc.Degree - fromCross} }

// FineFeed is the setting at which the tool moves in by a share of what the top
// slide travels: 1/10 on radius is 5.739 degrees, 1/20 is a tenth on diameter.
// Rounded to the milliarcsecond. Shares of zero or less and of one or more are
// refused.
func FineFeed(share calc.Ratio) (TopSlide, error) {
	f := share.Float()
	if f <= 0 || f >= 1 {
		return TopSlide{}, fmt.Errorf("fine feed of %s: give a share between 0 and 1, such as 1/10", share)
	}
	return TopSlide{calc.Radians(math.Asin(f))}, nil
}

// Check refuses an angle no top slide has.
func (s TopSlide) Check() error {
	if s.FromAxis <= 0 || s.FromAxis > 90*calc.Degree {
		return fmt.Errorf("top slide at %s from the axis: give an angle above 0 and at most 90 degrees", s.FromAxis)
	}
	return nil
}

// Protractor is what the base shows: the angle from the axis where its zero means
// parallel to the bed, and the complement where its zero means parallel to the
// cross-slide.
func (s TopSlide) Protractor(zeroAlongBed bool) calc.Angle {
	if zeroAlongBed {
		return s.FromAxis
	}
	return 90*calc.Degree - s.FromAxis
}

// In is how far the tool goes in on radius for a travel of the slide, rounded to
// the nanometre.
func (s TopSlide) In(travel calc.Length) calc.Length {
	return calc.Millimetres(travel.Millimetres() * math.Sin(s.FromAxis.Radians()))
}

// Along is how far the tool goes along the bed for a travel of the slide, rounded
// to the nanometre.
func (s TopSlide) Along(travel calc.Length) calc.Length {
	return calc.Millimetres(travel.Millimetres() * math.Cos(s.FromAxis.Radians()))
}

// For is the travel of the slide that takes the tool in by a depth on radius,
// rounded to the nanometre. A slide parallel to the bed never gets there, which is
// an error.
func (s TopSlide) For(depth calc.Length) (calc.Length, error) {
	if err := s.Check(); err != nil {
		return 0, err
	}
	return calc.Millimetres(depth.Millimetres() / math.Sin(s.FromAxis.Radians())), nil
}

// Finer is what to do about a move too fine for a dial: the setting of the top
// slide at which the move is at least a division of its dial, as the simplest of
// 1/5, 1/10 and 1/20. It is an error where even that is too coarse, or where the
// dial itself is fine enough.
func Finer(move, division calc.Length) (TopSlide, calc.Ratio, error) {
	if division <= 0 || move <= 0 {
		return TopSlide{}, calc.Ratio{}, errors.New("a move and a division above zero are needed")
	}
	if move >= division {
		return TopSlide{}, calc.Ratio{}, fmt.Errorf("%s is no finer than a division of %s: use the dial", move, division)
	}
	for _, n := range []int64{5, 10, 20} {
		if calc.Length(n)*move >= division {
			share, err := calc.NewRatio(1, n)
			if err != nil {
				return TopSlide{}, share, err
			}
			s, err := FineFeed(share)
			return s, share, err
		}
	}
	return TopSlide{}, calc.Ratio{}, fmt.Errorf("%s is less than a twentieth of a division of %s: finish with abrasive or a file", move, division)
}

// TooLow is how much larger on radius a diameter is left by a tool set below (or
// above) the centre's height, rounded to the nanometre.
func TooLow(radius, drop calc.Length) calc.Length {
	r, y := radius.Millimetres(), drop.Millimetres()
	return calc.Millimetres(math.Hypot(r, y) - r)
}

// Pip is the diameter of what is left in the middle of a face by a tool off the
// centre's height.
func Pip(drop calc.Length) calc.Length { return 2 * drop.Abs() }
