package session

import (
	"context"

	"springline/session/store"
)

// replay works the state out from the record, up to and including seq; zero means all of it.
func replay(ctx context.Context, st *store.Store, bench string, seq int64) (*state, error) {
	s := newState(bench)
	if err := st.Each(ctx, bench, 0, seq, s.apply); err != nil {
		return nil, err
	}
	return s, nil
}
