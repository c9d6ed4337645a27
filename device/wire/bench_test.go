package wire

import (
	"fmt"
	"testing"
	"time"

	"golang.org/x/sys/unix"
)

// lineStream is n bytes of line frames as a caliper sends them.
func lineStream(n int) []byte {
	b := make([]byte, 0, n+32)
	for i := 0; len(b) < n; i++ {
		b = fmt.Appendf(b, "%+08.3f mm\r\n", float64(i%200000)/1000-50)
	}
	return b
}

// scan is the plain pass over the same bytes that the decoder is compared with: look at each byte and
// count the line ends.
func scan(b []byte) (lines int) {
	for _, c := range b {
		if c == '\n' {
			lines++
		}
	}
	return lines
}

// BenchmarkDecodeLine decodes line frames in chunks as a busy port hands them over, and in the same
// run scans the same bytes plainly; scan-ratio is how many times longer decoding takes. Feed keeps
// every event, FeedFunc none.
func BenchmarkDecodeLine(b *testing.B) {
	data := lineStream(1 << 20)
	want := scan(data)
	f := DefaultFormat(Line)
	f.Unit = "required"
	for _, way := range []string{"Feed", "FeedFunc"} {
		for _, size := range []int{64, 4096, 65536} {
			b.Run(fmt.Sprintf("%s/chunk%d", way, size), func(b *testing.B) {
				d, err := NewDecoder(f)
				if err != nil {
					b.Fatal(err)
				}
				b.SetBytes(int64(len(data)))
				b.ReportAllocs()
				at, samples := time.Second, 0
				count := func(e Event) {
					if e.Sample != nil {
						samples++
					}
				}
				used := cpuTime(b)
				for b.Loop() {
					for rest := data; len(rest) > 0; {
						n := min(size, len(rest))
						at += time.Millisecond
						if way == "FeedFunc" {
							d.FeedFunc(at, rest[:n], count)
						} else {
							for _, e := range d.Feed(at, rest[:n]) {
								count(e)
							}
						}
						rest = rest[n:]
					}
				}
				used = cpuTime(b) - used
				decode := b.Elapsed() / time.Duration(b.N)
				// By the processor time used, which other programs on the machine do not add to.
				b.ReportMetric(float64(len(data))*float64(b.N)/1e6/used.Seconds(), "MB/cpu-s")
				if samples != want*b.N {
					b.Fatalf("%d samples from %d frames", samples, want*b.N)
				}
				start, rounds := time.Now(), 0
				for time.Since(start) < 200*time.Millisecond {
					if rounds++; scan(data) != want {
						b.Fatal("the scan miscounts")
					}
				}
				b.ReportMetric(float64(decode)/(float64(time.Since(start))/float64(rounds)), "scan-ratio")
			})
		}
	}
}

// cpuTime is the processor time that this process has used.
func cpuTime(b *testing.B) time.Duration {
	b.Helper()
	var u unix.Rusage
	if err := unix.Getrusage(unix.RUSAGE_SELF, &u); err != nil {
		b.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
