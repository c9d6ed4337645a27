package show

import (
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
)

// TemperatureView is what the page shows of the temperatures.
type TemperatureView struct {
	Seq  int64  `json:"seq,omitempty"` // of the reading that counts, to replace it
	Text string `json:"text"`
	Old  bool   `json:"old,omitempty"` // too old to count
}

func (w renderer) temperature() *TemperatureView {
	o := w.o
	if !o.Closed.IsZero() {
		return nil
	}
	t, ok := o.Temperature()
	if !ok {
		return &TemperatureView{Text: "bar and tape not read"}
	}
	v := TemperatureView{Seq: t.Seq, Text: words.English.Say(book.TemperaturesOf(t))}
	if _, counts := o.TemperatureAt(w.book.At); !counts {
		v.Old, v.Text = true, v.Text+": too old to count, read them again"
	}
	return &v
}

// to20Text is the correction beside a value, empty where there is none.
func to20Text(t qc.Temperatures, to20 length.Length) string {
	if !t.Read() {
		return ""
	}
	return words.ExactSigned(to20.Round(10*length.Micrometre, length.TieEven)) + " to 20 °C"
}
