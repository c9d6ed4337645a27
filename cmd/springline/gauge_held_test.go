package main

import (
	"bytes"
	"context"
	"strings"
	"testing"
	"time"

	"springline/cmd/springline/access"
	"springline/session"
	"springline/session/show"
)

// shown is a bench that shows one view after the other and then ends the watching.
type shown struct {
	access.Way
	views []show.View
	end   context.CancelFunc
}

func (s *shown) View(context.Context) (show.View, error) {
	v := s.views[0]
	if s.views = s.views[1:]; len(s.views) == 0 {
		s.end()
	}
	return v, nil
}

// Watching a gauge shows its own values and notices, however the gauges are called and whatever their values look like.
func TestWatchBench(t *testing.T) {
	one := show.GaugeView{ID: "t1", Name: "Tape 1", State: "reading"}
	ten := show.GaugeView{ID: "t10", Name: "Tape 10", State: "reading"}
	was := one
	was.Value, was.Unit, was.Received, was.LastText = "12.5 at rest", "mm", 1, "12.5 at rest mm at 08:00"
	again := was
	again.Received = 2
	notices := func(v show.View, told ...show.NoticeView) show.View {
		v.Told = told
		for _, n := range told {
			v.Notices = append(v.Notices, map[string]string{"t1": "Tape 1: ", "t10": "Tape 10: ",
				"": "Tape 1 was named in a remark: "}[n.Gauge]+n.Code)
		}
		v.Seq = told[0].Seq
		return v
	}
	old := show.NoticeView{Seq: 3, Gauge: "t1", Code: "old"}
	other, mine, nobody := show.NoticeView{Seq: 4, Gauge: "t10", Code: "other"}, show.NoticeView{Seq: 5, Gauge: "t1", Code: "mine"},
		show.NoticeView{Seq: 6, Code: "nobody"}
	views := []show.View{
		notices(show.View{Gauges: []show.GaugeView{one, ten}}, old),
		notices(show.View{Gauges: []show.GaugeView{was, ten}}, other, old),
		notices(show.View{Gauges: []show.GaugeView{again, ten}}, nobody, mine, other, old),
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
