package thread

import (
	"math"
	"sort"
)

// r40 is the R40 series of preferred numbers, ISO 3, one decade.
var r40 = [40]int{100, 106, 112, 118, 125, 132, 140, 150, 160, 170, 180, 190, 200, 212, 224, 236, 250, 265, 280, 300,
	315, 335, 355, 375, 400, 425, 450, 475, 500, 530, 560, 600, 630, 670, 710, 750, 800, 850, 900, 950}

// r40At is the i-th R40 number counted from 1.00, rounded to a whole number.
func r40At(i int) int {
	if i < 0 {
		return 1
	}
	v := float64(r40[i%40]) / 100 * math.Pow10(i/40)
	return int(math.RoundToEven(v)) // 31.5 is printed 32, 42.5 is printed 42
}

// r40Index is the place of the R40 number nearest to v, by difference.
func r40Index(v float64) int {
	if v < 1 {
		return 0
	}
	value := func(i int) float64 { return float64(r40[i%40]) / 100 * math.Pow10(i/40) }
	i := sort.Search(160, func(i int) bool { return value(i) >= v })
	if i > 0 && v-value(i-1) < value(i)-v {
		i--
	}
	return i
}
