package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"fmt"
	"net/http"
	"regexp"
	"strings"

	"springline/session"
)

// reportKinds are the report formats by file ending.
var reportKinds = map[string]string{
	"pdf":  "application/pdf",
	"html": "text/html; charset=utf-8",
	"csv":  "text/csv; charset=utf-8; header=present",
	"json": "application/json; charset=utf-8",
}

// makeReport answers /reports/<batch>.<ending>. The report is made whole before the first byte is
// sent, so a fault is an error and never half a report.
func (s *site) makeReport(w http.ResponseWriter, r *http.Request) {
	file := r.PathValue("file")
	dot := strings.LastIndexByte(file, '.')
	kind := ""
	if dot > 0 {
		kind = reportKinds[file[dot+1:]]
	}
	if kind == "" || s.reports == nil {
		s.nowhere(w, r)
		return
	}
	id, format := file[:dot], file[dot+1:]
	select {
	case s.report <- struct{}{}:
		defer func() { <-s.report }()
	case <-r.Context().Done():
		return
	}
	batch, err := s.bench.Batch(id)
	if err != nil {
		refuse(w, http.StatusNotFound, session.Problem{Code: "no_batch", Field: "batch", Detail: err.Error(),
			Do: "use a report link of the bench page"})
		return
	}
	var b bytes.Buffer
	if err := s.reports(format, batch, &b); err != nil {
		s.warn("make a report", err)
		refuse(w, http.StatusInternalServerError, session.Problem{Code: "report", Detail: "the report could not be made: " + err.Error(),
			Do: "the record is untouched; try another format"})
		return
	}
	if format == "html" {
		w.Header().Set("Content-Security-Policy", reportPolicy(b.Bytes()))
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", fmt.Sprintf("inline; filename=%q", "report-"+plainName(id)+"."+format))
	w.Write(b.Bytes())
}

var styleBlock = regexp.MustCompile(`(?s)<style[^>]*>(.*?)</style>`)

// reportPolicy allows an HTML report its own style blocks, each by its hash, and no script at all.
func reportPolicy(doc []byte) string {
	style := ""
	for _, m := range styleBlock.FindAllSubmatch(doc, -1) {
		sum := sha256.Sum256(m[1])
		style += " 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
	}
	if style == "" {
		style = " 'none'"
	}
	return "default-src 'none'; style-src" + style + "; img-src data:; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
}

// plainName keeps letters, digits and dashes for a file name.
func plainName(id string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '-' || r == '_' {
			return r
		}
		return '_'
	}, id)
}
