package access

import (
	"bytes"
	"context"
	"crypto/rand"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"time"

	"springline/qc/words"
	"springline/session"
	"springline/session/command"
	"springline/session/show"
	"springline/session/store"
)

const (
	answerTime = 30 * time.Second
	maxAnswer  = 64 << 20 // a view of many thousand ribs
)

// remote is a bench that runs in another process.
type remote struct {
	base   string
	client *http.Client
}

func newRemote(addr string) *remote {
	return &remote{base: "http://" + addr, client: &http.Client{
		Timeout: answerTime,
		// A proxy has no business between two programs of one machine, and the page never redirects.
		Transport:     &http.Transport{Proxy: nil},
		CheckRedirect: func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse },
	}}
}

func (r *remote) View(ctx context.Context) (show.View, error) {
	var v show.View
	err := r.ask(ctx, http.MethodGet, "/api/view", nil, &v)
	return v, err
}

// Do sends a command. One without a key gets one, so that it can be sent again after a lost answer; it is
// sent a second time once where the bench cut the answer off.
func (r *remote) Do(ctx context.Context, c command.Order) (command.Ack, error) {
	if c.Key == "" {
		c.Key = "cli-" + rand.Text()
	}
	body, err := command.Encode(c)
	if err != nil {
		return command.Ack{}, fmt.Errorf("send %q to the bench: %w", c.Op(), err)
	}
	var answer struct {
		Ack command.Ack `json:"ack"`
	}
	err = r.ask(ctx, http.MethodPost, "/api/do", body, &answer)
	if _, lost := err.(*lostError); lost && ctx.Err() == nil {
		err = r.ask(ctx, http.MethodPost, "/api/do", body, &answer)
	}
	return answer.Ack, err
}

func (r *remote) Partners(ctx context.Context, rib string) ([]show.PartnerView, error) {
	var answer []show.PartnerView
	err := r.ask(ctx, http.MethodGet, "/api/partners?"+url.Values{"rib": {rib}}.Encode(), nil, &answer)
	return answer, err
}

func (r *remote) RunOrder(ctx context.Context, first, last string) (show.OrderView, error) {
	var answer show.OrderView
	err := r.ask(ctx, http.MethodGet, "/api/order?"+url.Values{"first": {first}, "last": {last}}.Encode(), nil, &answer)
	return answer, err
}

func (r *remote) Close() error {
	r.client.CloseIdleConnections()
	return nil
}

// lostError is an answer that never came: whether the command was carried out is not known.
type lostError struct{ err error }

func (e *lostError) Error() string {
	return e.err.Error() + "; look at the bench page before trying again"
}
func (e *lostError) Unwrap() error { return e.err }

func (r *remote) ask(ctx context.Context, method, path string, body []byte, into any) error {
	q, err := http.NewRequestWithContext(ctx, method, r.base+path, bytes.NewReader(body))
	if err != nil {
		return err
	}
	if body != nil {
		q.Header.Set("Content-Type", "application/json")
	}
	res, err := r.client.Do(q)
	if err != nil {
		return &lostError{fmt.Errorf("ask the running bench: %w", err)}
	}
	defer res.Body.Close()
	text, err := io.ReadAll(io.LimitReader(res.Body, maxAnswer))
	if err != nil {
		return &lostError{fmt.Errorf("read the running bench's answer: %w", err)}
	}
	if res.StatusCode != http.StatusOK {
		return refusal(res, text)
	}
	if err := json.Unmarshal(text, into); err != nil {
		return fmt.Errorf("read the running bench's answer: %w; it may be another release of springline", err)
	}
	return nil
}

// refusal turns a problem back into the error that the bench gave.
func refusal(res *http.Response, text []byte) error {
	var p session.Problem
	if err := json.Unmarshal(text, &p); err != nil || p.Code == "" {
		return fmt.Errorf("the running bench answered %s: %.200s", res.Status, text)
	}
	if p.Code == "not_saved" {
		return &store.NotSavedError{Cause: fmt.Errorf("%s; %s", p.Detail, p.Do)}
	}
	e := words.Problem(p.Code, p.Field, p.Do, "%s", p.Detail)
	if p.Both != nil {
		e.Yours, e.YourValue, e.Now, e.ValueThen = p.Both.Yours, p.Both.YourValue, p.Both.Now, p.Both.ValueThen
	}
	return e
}
