package wire

import (
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

// The short way and the long way read every frame alike, whatever the format: what the short way takes, the long
// way takes with the same outcome.
func TestPlainReadsAsParseDoes(t *testing.T) {
	taken := 0
	rapid.Check(t, func(rt *rapid.T) {
		f := DefaultFormat(Line)
		if rapid.Bool().Draw(rt, "special") {
			f.Sign = rapid.SampledFrom([]string{f.Sign, "none", "required", "behind"}).Draw(rt, "sign")
			f.Decimal = rapid.SampledFrom([]string{f.Decimal, "point", "comma"}).Draw(rt, "decimal")
			f.Number = rapid.SampledFrom([]string{f.Number, "nr1", "nr2", "nr3", "nrf"}).Draw(rt, "number")
			f.Unit = rapid.SampledFrom([]string{f.Unit, "required", "in"}).Draw(rt, "unit")
			f.Decimals = rapid.SampledFrom([]int{f.Decimals, 2}).Draw(rt, "decimals")
			if rapid.IntRange(0, 4).Draw(rt, "mapped") == 0 {
				f.UnitMap = map[string]string{"mm": "in", "m": "m"}
			}
		}
		spec, err := compileText(f)
		if err != nil {
			return // no such format
		}
		shape := rapid.SampledFrom([]string{`[ ]?-?[0-9]{1,6}(\.[0-9]{1,3})?[ ]?mm`,
			`[ \t]{0,2}[-+]?[ ]?[0-9]{0,20}[.,]?[0-9]{0,4}([Ee][-+]?[0-9])?[ \t]{0,2}(mm|m|MM|in|mm |mmm|)`}).Draw(rt, "shape")
		frame := []byte(rapid.StringMatching(shape).Draw(rt, "frame"))
		long := spec
		long.plainUnit = ""
		var a, b parsed
		a.detail, a.flags, a.digits = "left over", []string{"x"}, []byte("9") // of the frame before
		long.parse(frame, &b)
		if spec.plainUnit == "" || !spec.plain(frame, &a) {
			return
		}
		taken++
		if !reflect.DeepEqual(a, b) {
			rt.Fatalf("%q: the short way %+v, the long way %+v", frame, a, b)
		}
	})
	if taken == 0 {
		t.Error("the short way was never taken")
	}
	t.Logf("the short way was taken %d times", taken)
}
