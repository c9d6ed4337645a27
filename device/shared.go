package device

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"springline/device/wire"
	"springline/qc/words"
)

// Several gauges may send over one line, each frame naming its channel. They share one source, which is the
// only one to open the line; the first of them stands for it where the line itself is meant.

// sharing gives the source whose line g uses as well, or nil. The caller holds mu.
func (h *Hub) sharing(g Gauge) (*source, error) {
	if g.Channel == "" {
		return nil, nil
	}
	for _, s := range h.sorted() {
		if s.gauge.Channel == "" || s.gauge.Address != g.Address || s.gauge.Identity != g.Identity {
			continue
		}
		for _, m := range s.members() {
			if m.Channel == g.Channel {
				return nil, fmt.Errorf("gauge %q: channel %s of this line is gauge %q already", g.ID, g.Channel, m.ID)
			}
		}
		if !reflect.DeepEqual(s.gauge.Format, g.Format) || s.gauge.Mode != g.Mode {
			return nil, fmt.Errorf("gauge %q: it shares the line of gauge %q and must have the same format and mode", g.ID, s.gauge.ID)
		}
		return s, nil
	}
	return nil, nil
}

// members are the gauges on the line, the first one first.
func (s *source) members() []Gauge {
	s.mu.Lock()
	defer s.mu.Unlock()
	return append([]Gauge{s.gauge}, s.others...)
}

func (s *source) ids() []string {
	var ids []string
	for _, m := range s.members() {
		ids = append(ids, m.ID)
	}
	return ids
}

// owner gives the gauge that a frame's channel names, and why it is not certain. A gauge of which no channel
// was said is that of the first channel it sends.
func (s *source) owner(channel string) (id string, unsure words.WhichGauge) {
	all := s.members()
	if all[0].Channel == "" {
		if channel == "" {
			return s.gauge.ID, words.WhichGauge{}
		}
		s.mu.Lock()
		defer s.mu.Unlock()
		if s.channel == "" {
			s.channel = channel
		}
		if s.channel != channel {
			return s.gauge.ID, words.WhichGauge{Why: "channel-changed", Channel: channel, Known: s.channel}
		}
		return s.gauge.ID, words.WhichGauge{}
	}
	i := slices.IndexFunc(all, func(m Gauge) bool { return m.Channel == channel })
	if i >= 0 {
		return all[i].ID, words.WhichGauge{}
	}
	var known []string
	for _, m := range all {
		known = append(known, m.Channel)
	}
	return s.gauge.ID, words.WhichGauge{Why: "channel-unknown", Channel: channel, Known: strings.Join(known, ", ")}
}

// owned marks a sample whose channel leaves open which gauge it is from.
func owned(in *wire.Sample, unsure words.WhichGauge) *wire.Sample {
	if unsure.Why == "" {
		return in
	}
	return with(in, wire.Confirm, FlagWhichGauge)
}
