package main

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"springline/cmd/springline/access"
	"springline/session"
)

// shown is a bench that shows one view after the other and then ends the watching.
type shown struct {
	access.Way
	views []session.View
	end   context.CancelFunc
}

func (s *shown) View(context.Context) (session.View, error) {
	v := s.views[0]
	if s.views = s.views[1:]; len(s.views) == 0 {
		s.end()
	}
	return v, nil
}

// Watching a gauge shows its own values and notices, however the gauges are called and whatever their values look like.
func TestWatchBench(t *testing.T) {
	one := session.GaugeView{ID: "t1", Name: "Tape 1", State: "reading"}
	ten := session.GaugeView{ID: "t10", Name: "Tape 10", State: "reading"}
	was := one
	was.Value, was.Unit, was.Received, was.LastText = "12.5 at rest", "mm", 1, "12.5 at rest mm at 08:00"
	again := was
	again.Received = 2
	notices := func(v session.View, told ...session.NoticeView) session.View {
		v.Told = told
		for _, n := range told {
			v.Notices = append(v.Notices, map[string]string{"t1": "Tape 1: ", "t10": "Tape 10: ",
				"": "Tape 1 was named in a remark: "}[n.Gauge]+n.Code)
		}
		v.Seq = told[0].Seq
		return v
	}
	old := session.NoticeView{Seq: 3, Gauge: "t1", Code: "old"}
	other, mine, nobody := session.NoticeView{Seq: 4, Gauge: "t10", Code: "other"}, session.NoticeView{Seq: 5, Gauge: "t1", Code: "mine"},
		session.NoticeView{Seq: 6, Code: "nobody"}
	views := []session.View{
		notices(session.View{Gauges: []session.GaugeView{one, ten}}, old),
		notices(session.View{Gauges: []session.GaugeView{was, ten}}, other, old),
		notices(session.View{Gauges: []session.GaugeView{again, ten}}, nobody, mine, other, old),
	}
	ctx, cancel := context.WithCancel(t.Context())
	var out, errs bytes.Buffer
	sys := system{out: &out, err: &errs, now: func() time.Time { return time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC) }}
	c := session.Connection{}
	c.ID = "t1"
	if err := watchBench(ctx, sys, &shown{views: views, end: cancel}, c, 0, false); err != nil {
		t.Fatal(err)
	}
	want := []string{"reading", "12.5 at rest mm", "12.5 at rest mm", "noted  Tape 1: mine"}
	var got []string
	for line := range strings.Lines(out.String()) {
		got = append(got, strings.TrimSpace(strings.TrimPrefix(line, "08:00:00.000")))
	}
	if strings.Join(got, "|") != strings.Join(want, "|") {
		t.Errorf("shown:\n%s\nwant %q", out.String(), want)
	}
}
