package session

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/jmoiron/sqlx"

	"springline/device"
	"springline/device/wire"
	"springline/session/command"
	"springline/session/log"
	"springline/session/show"
	"springline/session/store"
)

// BenchmarkReadingToPublished times the last byte of a frame to the reading durable and published, beside
// the two floors under it: a single-row commit in the same SQLite set-up, and a write with fsync. All
// three take turns on the same disk, so that its moods meet them alike. Goals: medians in the ratio of at
// most 1.5 and 2.5.
func BenchmarkReadingToPublished(b *testing.B) {
	if err := store.SetProcessSwitches(); err != nil {
		b.Log(err) // another benchmark opened a database first
	}
	dir := b.TempDir()
	c := newClock()
	bench := openTest(b, filepath.Join(dir, "bench"), c)
	setUp(b, bench, 3)
	wake, stop := bench.Listen()
	defer stop()
	dec, err := wire.NewDecoder(wire.DefaultFormat("line"))
	if err != nil {
		b.Fatal(err)
	}
	commit := bareCommit(b, filepath.Join(dir, "bare.db"))
	write := bareWrite(b, filepath.Join(dir, "bare.log"))

	var took [3][]time.Duration
	at := time.Second
	for i := range 64 { // fill the logs, so that no commit has to grow one
		commit(i)
		write(i)
	}
	b.ResetTimer()
	for i := range b.N {
		next := nextToSend(b, bench)
		frame := frameFor(next, i)
		wall := c.now()
		at += time.Second
		dec.Feed(at, frame[:len(frame)-1])
		select {
		case <-wake:
		default:
		}

		turns := [3]func(){
			func() {
				events := dec.Feed(at, frame[len(frame)-1:])
				if len(events) != 1 || events[0].Sample == nil {
					b.Fatalf("frame %q gave %+v", frame, events)
				}
				out, err := bench.Arrived(device.Update{Gauge: next.GaugeID, State: device.StateReading,
					Reading: &device.Reading{Gauge: next.GaugeID, Event: events[0], Wall: wall}})
				if err != nil || out.Kind != log.Measured {
					b.Fatalf("frame %q for %s: %+v %v", frame, next.Char, out, err)
				}
				<-wake
				if v := bench.View(); v.Last == nil || v.Last.Seq != out.Seq {
					b.Fatal("not published")
				}
			},
			func() { commit(i) },
			func() { write(i) },
		}
		for k := range turns { // each goes first, second and last as often
			k = (k + i) % len(turns)
			t0 := time.Now()
			turns[k]()
			took[k] = append(took[k], time.Since(t0))
		}
	}
	b.StopTimer()
	r, k, s := median(took[0]), median(took[1]), median(took[2])
	b.ReportMetric(r*1e6, "reading-p50-us")
	b.ReportMetric(k*1e6, "row-p50-us")
	b.ReportMetric(s*1e6, "fsync-p50-us")
	b.ReportMetric(r/k, "reading/row")
	b.ReportMetric(r/s, "reading/fsync")
}

func median(d []time.Duration) float64 {
	d = slices.Clone(d)
	slices.Sort(d)
	return d[len(d)/2].Seconds()
}

// nextToSend starts ribs, and batches of 24 of them, as they are needed.
func nextToSend(b *testing.B, bench *Bench) *show.NextView {
	b.Helper()
	v := bench.View()
	if v.Current != nil && v.Current.Next != nil {
		return v.Current.Next
	}
	if len(v.Ribs) == 24 {
		ctx := context.Background()
		if err := bench.Set(ctx, command.CloseBatch{}); err != nil {
			b.Fatal(err)
		}
		o := bench.state.Batch
		if err := bench.Set(ctx, command.BatchSetup{ID: fmt.Sprint("B", len(bench.Batches())+1), Target: o.Target.ID, Revision: 1,
			Decision: o.Decision, Jig: "J1", Lot: "L1"}.Deed()); err != nil {
			b.Fatal(err)
		}
	}
	do(b, bench, command.Order{Deed: command.Start{}})
	return bench.View().Current.Next
}

func frameFor(next *show.NextView, i int) []byte {
	want, _, _ := strings.Cut(next.Want, " ")
	var v float64
	_, _ = fmt.Sscanf(want, "%f", &v)
	return fmt.Appendf(nil, "%.2f mm\r", v+float64(3*i%7)*0.1+0.01)
}

// bareCommit commits one row of the size of a record, in SQLite set up as the record is.
func bareCommit(b *testing.B, path string) func(int) {
	db, err := sqlx.Open("sqlite", "file:"+path+"?_pragma=busy_timeout(5000)&_pragma=foreign_keys(1)"+
		"&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)")
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { db.Close() })
	db.SetMaxOpenConns(1)
	ctx := context.Background()
	if _, err := db.Exec("CREATE TABLE row (seq INTEGER PRIMARY KEY, body TEXT NOT NULL) STRICT"); err != nil {
		b.Fatal(err)
	}
	conn, err := db.Connx(ctx)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { conn.Close() })
	var stmts []*sqlx.Stmt
	for _, q := range []string{"BEGIN IMMEDIATE", "INSERT INTO row (body) VALUES (?)", "COMMIT"} {
		st, err := conn.PreparexContext(ctx, q)
		if err != nil {
			b.Fatal(err)
		}
		stmts = append(stmts, st)
	}
	body := strings.Repeat("x", 300)
	return func(int) {
		for i, st := range stmts {
			var err error
			if i == 1 {
				_, err = st.Exec(body)
			} else {
				_, err = st.Exec()
			}
			if err != nil {
				b.Fatal(err)
			}
		}
	}
}

// bareWrite appends 256 bytes to a file and syncs it.
func bareWrite(b *testing.B, path string) func(int) {
	f, err := os.OpenFile(path, os.O_CREATE|os.O_WRONLY|os.O_APPEND, 0o600)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { f.Close() })
	text := []byte(strings.Repeat("x", 256))
	return func(int) {
		if _, err := f.Write(text); err != nil {
			b.Fatal(err)
		}
		if err := f.Sync(); err != nil {
			b.Fatal(err)
		}
	}
}
