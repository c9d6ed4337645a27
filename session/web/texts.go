package web

import (
	"encoding/json"
	"net/http"
)

// texts reads a request's flat JSON object of texts into the fields; any other field, or a field that is no
// text, is refused.
func texts(w http.ResponseWriter, r *http.Request, fields map[string]*string) bool {
	body, bad := readBody(w, r)
	if bad == nil {
		bad = eachField(body, func(name string, v json.Token) string {
			value, ok := v.(string)
			switch {
			case fields[name] == nil:
				return "is not a field here"
			case !ok:
				return "must be a text"
			}
			*fields[name] = value
			return ""
		})
	}
	if bad != nil {
		refuse(w, bad.Status, *bad)
	}
	return bad == nil
}
