package web

import (
	"net/http"
	"strings"

	"springline/session"
	"springline/session/show"
)

// route is one address of the interface. Pattern is a net/http pattern without a method, so that a
// wrong method is answered by us, with our headers and as a problem.
type route struct {
	method  string
	pattern string
	handle  func(*site, http.ResponseWriter, *http.Request)
	data    bool // not for pages of other sites, not even to load
}

// table is the whole interface.
func table() []route {
	return []route{
		{http.MethodGet, "/{$}", (*site).home, false},
		{http.MethodGet, "/assets/{name}", (*site).file, false},
		{http.MethodGet, "/api/view", (*site).view, true},
		{http.MethodGet, "/api/read", (*site).read, true},
		{http.MethodGet, "/api/partners", (*site).partners, true},
		{http.MethodGet, "/api/order", (*site).order, true},
		{http.MethodGet, "/drawings/pair.svg", (*site).pairDrawing, true},
		{http.MethodGet, "/drawings/shape.svg", (*site).shapeDrawing, true},
		{http.MethodGet, "/drawings/spring.svg", (*site).springDrawing, true},
		{http.MethodGet, "/jig-sheet.pdf", (*site).jigSheet, true},
		{http.MethodGet, "/api/drift", (*site).drift, true},
		{http.MethodGet, "/api/proof", (*site).proof, true},
		{http.MethodGet, "/drawings/drift.svg", (*site).driftDrawing, true},
		{http.MethodGet, "/drawings/budget.svg", (*site).budgetDrawing, true},
		{http.MethodGet, "/drawings/study.svg", (*site).studyDrawing, true},
		{http.MethodGet, "/api/events", (*site).events, true},
		{http.MethodPost, "/api/do", (*site).do, true},
		{http.MethodPost, "/api/keys", (*site).keys, true},
		{http.MethodPost, "/api/gauge", (*site).actOnGauge, true},
		{http.MethodGet, "/reports/{file}", (*site).makeReport, true},
		{http.MethodGet, "/healthz", (*site).alive, false},
		{http.MethodGet, "/readyz", (*site).ready, false},
	}
}

func (s *site) routes() http.Handler {
	mux := http.NewServeMux()
	for _, rt := range table() {
		mux.HandleFunc(rt.pattern, func(w http.ResponseWriter, r *http.Request) {
			switch {
			case r.Method == rt.method, r.Method == http.MethodHead && rt.method == http.MethodGet:
			default:
				allow := rt.method
				if allow == http.MethodGet {
					allow = "GET, HEAD"
				}
				w.Header().Set("Allow", allow)
				refuse(w, http.StatusMethodNotAllowed, session.Problem{Code: "method",
					Detail: "this address takes " + allow + " only", Do: "use the bench page"})
				return
			}
			if site := r.Header.Get("Sec-Fetch-Site"); rt.data && (site == "cross-site" || site == "same-site") {
				refuse(w, http.StatusForbidden, session.Problem{Code: "cross_origin",
					Detail: "another site's page asked for the bench's data", Do: "open the bench page itself"})
				return
			}
			rt.handle(s, w, r)
		})
	}
	mux.HandleFunc("/", s.nowhere)
	return mux
}

func (s *site) nowhere(w http.ResponseWriter, r *http.Request) {
	refuse(w, http.StatusNotFound, session.Problem{Code: "not_found", Detail: "there is nothing at this address",
		Do: "go back to the bench page at /"})
}

// pageView is the bench's view and what only the page needs to know.
type pageView struct {
	show.View
	Keyboards []string `json:"keyboards"` // gauges that type into the page
	Asked     []string `json:"asked"`     // gauges that send when they are asked
	Reports   bool     `json:"reports"`   // whether there are report links
	JigSheet  bool     `json:"jig_sheet"` // there is a sheet of the jig: always
}

func (s *site) shown() pageView {
	p := pageView{View: s.bench.View(), Keyboards: []string{}, Asked: []string{}, Reports: s.reports != nil, JigSheet: true}
	if s.cfg.Keyboards != nil {
		p.Keyboards = append(p.Keyboards, s.cfg.Keyboards()...)
	}
	if s.cfg.Asked != nil {
		p.Asked = append(p.Asked, s.cfg.Asked()...)
	}
	return p
}

func (s *site) view(w http.ResponseWriter, r *http.Request) {
	send(w, http.StatusOK, "application/json", s.shown())
}

// alive says that the program runs.
func (s *site) alive(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Write([]byte("alive\n"))
}

// ready says that the bench can store, which is what a reading needs.
func (s *site) ready(w http.ResponseWriter, r *http.Request) {
	if v := s.bench.View(); !v.Saved {
		refuse(w, http.StatusServiceUnavailable, session.Problem{Code: "not_saved", Detail: "the bench cannot store: " +
			strings.TrimSpace(v.Fault),
			Do: "nothing more is taken until the program is started again on a sound disk"})
		return
	}
	w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	w.Write([]byte("ready\n"))
}
