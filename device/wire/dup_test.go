package wire

import "testing"

// A double send says the same in every way: the same value in another unit is another reading, of which only the
// unit is asked about; and the moment of the newest send counts.
func TestDoubleSendIsTheSameInEveryWay(t *testing.T) {
	d := newDecoder(t, `{"family": "line", "unit": "required:mm", "dup_window_ms": 250}`)
	wantEvents(t, d.Feed(500*mm, []byte("12.7 mm\r")), "12.7 mm auto")
	wantEvents(t, d.Feed(600*mm, []byte("12.7 in\r")), "12.7 in confirm unit_changed")
	wantEvents(t, d.Feed(700*mm, []byte("12.7 in\r")), "12.7 in confirm unit_changed duplicate_suspect")
	wantEvents(t, d.Feed(950*mm, []byte("12.7 in\r")), "12.7 in confirm unit_changed duplicate_suspect")
	wantEvents(t, d.Feed(1201*mm, []byte("12.7 in\r")), "12.7 in confirm unit_changed")
	wantEvents(t, d.Feed(1300*mm, []byte("12.8 in\r")), "12.8 in confirm unit_changed")
}
