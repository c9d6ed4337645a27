package web

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"net/http"
	"path"
	"time"
)

//go:embed page
var pageFiles embed.FS

// kinds are the file endings served, with their content types: a table, because the system's own list
// differs from machine to machine.
var kinds = map[string]string{
	".html": "text/html; charset=utf-8",
	".css":  "text/css; charset=utf-8",
	".js":   "text/javascript; charset=utf-8",
	".svg":  "image/svg+xml",
}

type asset struct {
	kind string
	tag  string
	body []byte
}

// loadAssets reads the embedded files once, by name.
func loadAssets() (map[string]asset, error) {
	entries, err := pageFiles.ReadDir("page")
	if err != nil {
		return nil, err
	}
	files := map[string]asset{}
	for _, e := range entries {
		b, err := pageFiles.ReadFile("page/" + e.Name())
		if err != nil {
			return nil, err
		}
		sum := sha256.Sum256(b)
		files[e.Name()] = asset{kind: kinds[path.Ext(e.Name())], tag: `"` + hex.EncodeToString(sum[:12]) + `"`, body: b}
	}
	return files, nil
}

func (s *site) home(w http.ResponseWriter, r *http.Request) { s.serveAsset(w, r, "page.html") }

func (s *site) file(w http.ResponseWriter, r *http.Request) { s.serveAsset(w, r, r.PathValue("name")) }

// serveAsset lets the browser keep the file but ask each time, so a new program brings a new page.
func (s *site) serveAsset(w http.ResponseWriter, r *http.Request, name string) {
	a, ok := s.assets[name]
	if !ok || a.kind == "" {
		s.nowhere(w, r)
		return
	}
	w.Header().Set("Content-Type", a.kind)
	w.Header().Set("Cache-Control", "no-cache")
	w.Header().Set("ETag", a.tag)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(a.body))
}
