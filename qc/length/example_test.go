package length_test

import (
	"fmt"

	"springline/qc/length"
)

// What people write at a bench is read to the nanometre, and refused where it could mean two things.
func ExampleParse() {
	for _, text := range []string{"1850", "185,0 cm", `6' 0 13/16"`, "1.850 m", "1,850"} {
		l, err := length.Parse(text, length.Options{DefaultUnit: length.MM})
		if err != nil {
			fmt.Println(text, "refused")
			continue
		}
		fmt.Println(text, "is", l, "mm")
	}
	// Output:
	// 1850 is 1850 mm
	// 185,0 cm is 1850 mm
	// 6' 0 13/16" is 1849.4375 mm
	// 1.850 m is 1850 mm
	// 1,850 refused
}

func ExampleLength_FeetInches() {
	fmt.Println((1850 * length.Millimetre).FeetInches(16))
	// Output: 6' 0 13/16"
}
