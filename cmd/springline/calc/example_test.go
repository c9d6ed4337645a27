package calc_test

import (
	"fmt"
	"os"
	"strings"

	"springline/cmd/springline/calc"
)

// One JSON object a line in, one a line out; a line that cannot be is answered with the field at fault.
func ExampleRun() {
	in := `{"id": 1, "kind": "gauge.tape_limit", "input": {"class": "II", "length_mm": 2674, "from_end_face": true}}
{"id": 2, "kind": "gauge.tape_limit", "input": {"class": "IV", "length_mm": 2674, "from_end_face": true}}
`
	if err := calc.Run(strings.NewReader(in), os.Stdout, calc.Kinds()); err != nil {
		fmt.Println(err)
	}
	// Output:
	// {"id":1,"kind":"gauge.tape_limit","output":{"limit_mm":1.1}}
	// {"id":2,"kind":"gauge.tape_limit","error":{"code":"bad_choice","message":"is \"IV\"; a tape is of class I, II or III","field":"class"}}
}
