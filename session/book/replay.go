package book

import (
	"context"

	"springline/session/store"
)

// Replay works the state out from the record, up to and including seq; zero means all of it.
func Replay(ctx context.Context, st *store.Store, bench string, seq int64) (*Book, error) {
	s := New(bench)
	if err := st.Each(ctx, bench, 0, seq, s.Apply); err != nil {
		return nil, err
	}
	return s, nil
}
