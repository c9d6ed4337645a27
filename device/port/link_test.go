package port_test

import (
	"errors"
	"io"
	"testing"
	"time"

	"springline/device/port"
)

// fakeLink does what drivers were seen to do.
type fakeLink struct {
	reads  []func(b []byte) (int, error)
	next   int
	stop   chan struct{}
	write  func(b []byte) (int, error)
	closed chan struct{}
}

func newFake(reads ...func(b []byte) (int, error)) *fakeLink {
	return &fakeLink{reads: reads, stop: make(chan struct{}, 8), closed: make(chan struct{})}
}

func (f *fakeLink) Read(b []byte) (int, error) {
	if f.next < len(f.reads) {
		f.next++
		return f.reads[f.next-1](b)
	}
	<-f.stop
	return 0, io.ErrClosedPipe
}

func (f *fakeLink) Write(b []byte) (int, error) { return f.write(b) }
func (f *fakeLink) Interrupt() {
	select {
	case f.stop <- struct{}{}:
	default:
	}
}
func (f *fakeLink) Close() error { close(f.closed); return nil }

func says(text string) func([]byte) (int, error) {
	return func(b []byte) (int, error) { return copy(b, text), nil }
}

func gives(n int, err error) func([]byte) (int, error) {
	return func([]byte) (int, error) { return n, err }
}

func wrapFake(f *fakeLink, o port.Options) *port.Port {
	o.Now = time.Now
	return port.Wrap(port.Address{Kind: port.TTY, Path: "/dev/fake"}, f, o)
}

func TestReaderSurvivesWhatDriversDo(t *testing.T) {
	for _, c := range []struct {
		name  string
		reads []func([]byte) (int, error)
		words string
	}{
		{"silence, then end of file", []func([]byte) (int, error){gives(0, nil), gives(0, nil), says("1.5"), gives(0, io.EOF)}, "other end"},
		{"negative count with error", []func([]byte) (int, error){says("1.5"), gives(-1, errors.New("EIO"))}, "-1 bytes"},
		{"negative count without error", []func([]byte) (int, error){says("1.5"), gives(-1, nil)}, "-1 bytes"},
		{"more than asked", []func([]byte) (int, error){says("1.5"), gives(9999999, nil)}, "9999999"},
		{"panic", []func([]byte) (int, error){says("1.5"), func([]byte) (int, error) { panic("index out of range") }}, "index out of range"},
		{"data with the error", []func([]byte) (int, error){func(b []byte) (int, error) { return copy(b, "1.5"), errors.New("EIO") }}, "EIO"},
	} {
		t.Run(c.name, func(t *testing.T) {
			noLeak(t)
			f := newFake(c.reads...)
			p := wrapFake(f, port.Options{})
			if got := read(t, p, 3); got != "1.5" {
				t.Fatalf("got %q", got)
			}
			want(t, gone(t, p), port.Gone, c.words, "/dev/fake")
			<-f.closed
			want(t, p.Write([]byte("R")), port.Gone)
		})
	}
}

// A dead port must not be read again and again: it gives the same error for ever.
func TestReaderEndsAtTheFirstError(t *testing.T) {
	n := 0
	again := func([]byte) (int, error) { n++; return 0, errors.New("EIO") }
	f := newFake(again, again, again)
	p := wrapFake(f, port.Options{})
	gone(t, p)
	<-f.closed
	if n != 1 {
		t.Fatalf("read %d times after the port was dead", n)
	}
}

func TestLinkIsClosedOnceAndOnlyWhenNobodyIsInIt(t *testing.T) {
	noLeak(t)
	hold := make(chan struct{})
	f := newFake()
	f.write = func(b []byte) (int, error) { <-hold; return len(b), nil }
	p := wrapFake(f, port.Options{WriteBound: 20 * time.Millisecond})
	want(t, p.Write([]byte("R\r")), port.WriteStuck, "2 bytes")
	want(t, p.Write([]byte("R\r")), port.WriteStuck)
	if err := p.Close(); err == nil {
		t.Error("Close says all is free while a write is held")
	}
	select {
	case <-f.closed:
		t.Fatal("the link was closed under a running write")
	default:
	}
	close(hold)
	<-f.closed // a second close would panic
	if err := p.Close(); err != nil {
		t.Errorf("after the write came back: %v", err)
	}
}

func TestShortWriteIsALoss(t *testing.T) {
	f := newFake()
	f.write = func(b []byte) (int, error) { return 1, nil }
	want(t, wrapFake(f, port.Options{}).Write([]byte("R\r")), port.Gone, "1 of 2")
}

func TestBytesWhileSettlingAreDropped(t *testing.T) {
	clock := time.Unix(1000, 0)
	step := func(text string) func([]byte) (int, error) {
		return func(b []byte) (int, error) { clock = clock.Add(400 * time.Millisecond); return copy(b, text), nil }
	}
	f := newFake(step("boot "), step("text "), step("12.5"))
	p := port.Wrap(port.Address{Kind: port.TTY, Path: "/dev/fake"}, f,
		port.Options{Mode: port.Mode{SettleMS: 1000}, Now: func() time.Time { return clock }})
	if got := read(t, p, 4); got != "12.5" {
		t.Fatalf("got %q", got)
	}
	_ = p.Close()
}

// A full queue makes the reader wait; nothing is dropped.
func TestSlowTakerLosesNothing(t *testing.T) {
	noLeak(t)
	var reads []func([]byte) (int, error)
	for range 100 {
		reads = append(reads, says("x"))
	}
	p := wrapFake(newFake(reads...), port.Options{Queue: 1})
	time.Sleep(20 * time.Millisecond)
	if got := read(t, p, 100); len(got) != 100 {
		t.Fatalf("%d bytes", len(got))
	}
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
}
