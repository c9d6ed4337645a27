package web

import (
	"net"
	"net/http"
	"strings"
	"time"

	"springline/session"
)

// policy lets the page load its own files and nothing else: no inline script, no inline style.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; " +
	"connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// headers go on every answer, refusals included; a handler may tighten them.
var headers = [][2]string{
	{"Content-Security-Policy", policy},
	{"X-Content-Type-Options", "nosniff"},
	{"Referrer-Policy", "no-referrer"},
	{"Cross-Origin-Opener-Policy", "same-origin"},
	{"Cross-Origin-Resource-Policy", "same-origin"},
	{"Cache-Control", "no-store"},
	{"Permissions-Policy", "camera=(), geolocation=(), microphone=(), payment=(), usb=(), serial=(), hid=(), midi=(), " +
		"screen-wake-lock=(self)"},
}

// answerTime bounds how long one answer may take to write; the event stream renews it per event.
const answerTime = 30 * time.Second

// guard is what every request passes before any route is looked up.
func (s *site) guard(next http.Handler) http.Handler {
	crossOrigin := http.NewCrossOriginProtection()
	crossOrigin.SetDenyHandler(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		refuse(w, http.StatusForbidden, session.Problem{Code: "cross_origin",
			Detail: "the request came from another site's page", Do: "use the bench page itself"})
	}))
	inner := crossOrigin.Handler(next)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		for _, h := range headers {
			w.Header().Set(h[0], h[1])
		}
		defer s.lastResort(w)
		c := http.NewResponseController(w)
		deadline := s.now().Add(answerTime)
		c.SetReadDeadline(deadline)
		c.SetWriteDeadline(deadline)
		if !s.hosts[r.Host] {
			refuse(w, http.StatusMisdirectedRequest, session.Problem{Code: "wrong_host",
				Detail: "this bench does not answer to the name in the request",
				Do:     "open the page by the address that the program printed at start"})
			return
		}
		inner.ServeHTTP(w, r)
	})
}

// lastResort keeps one broken answer from taking the bench down and tells the browser nothing of the
// inside.
func (s *site) lastResort(w http.ResponseWriter) {
	p := recover()
	if p == nil {
		return
	}
	if p == http.ErrAbortHandler {
		panic(p)
	}
	s.warn("answer a request", p)
	refuse(w, http.StatusInternalServerError, session.Problem{Code: "fault",
		Detail: "the page's program failed on this request", Do: "try again; if it stays, look at the program's log"})
}

// ownHosts are the names that a browser may use for a server at addr: loopback names with the real
// port. Each is matched whole, so a trailing dot, a missing port or user information does not pass.
func ownHosts(addr string) (map[string]bool, error) {
	host, port, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, err
	}
	if err := mustBeLoopback(host); err != nil {
		return nil, err
	}
	hosts := map[string]bool{}
	for _, name := range []string{"127.0.0.1", "localhost", "[::1]"} {
		hosts[name+":"+port] = true
		if port == "80" {
			hosts[name] = true
		}
	}
	if ip := net.ParseIP(host); ip != nil && !strings.Contains(host, ":") {
		hosts[net.JoinHostPort(ip.String(), port)] = true
	}
	return hosts, nil
}
