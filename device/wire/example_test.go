package wire_test

import (
	"fmt"
	"time"

	"springline/device/wire"
)

// A gauge that writes a line for each press of its send key. A frame in another form is an error with a
// reason and never a value.
func ExampleDecoder() {
	f, err := wire.ParseFormat([]byte(`{"family": "line", "unit": "required:mm", "sign": "required"}`))
	if err != nil {
		fmt.Println(err)
		return
	}
	d, err := wire.NewDecoder(f)
	if err != nil {
		fmt.Println(err)
		return
	}
	d.FeedFunc(time.Second, []byte("+0012.34 mm\r\n12.34 mm\r\n-0.50 in\r\n"), func(e wire.Event) {
		if e.Err != nil {
			fmt.Println("refused:", e.Err)
			return
		}
		fmt.Println(e.Sample.Value, e.Sample.Unit, e.Sample.Accept, e.Sample.Flags)
	})
	// Output:
	// 12.34 mm auto []
	// refused: bad_number: no sign, which the format always has
	// -0.50 in confirm [unit_changed]
}

// Two values read to the gauge are enough to learn how it writes.
func ExampleInfer() {
	fits, err := wire.Infer(wire.DefaultFormat(wire.Line), []wire.Observation{
		{Shown: "12.34 mm", Bytes: []byte("R+0012.34mm\r\n")},
		{Shown: "-0.05 mm", Bytes: []byte("R-0000.05mm\r\n")},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	f := fits[0].Format
	fmt.Println(f.Prefix, f.Sign, f.Decimal, f.Decimals, f.Unit, f.Length)
	// Output: R required point 2 required:mm 11
}
