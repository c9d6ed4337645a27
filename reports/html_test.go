package reports_test

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"springline/reports/typeset"
)

// One file: nothing is fetched, run or linked.
func TestPageNeedsNothingElse(t *testing.T) {
	var b bytes.Buffer
	if err := typeset.WriteHTML(&b, build(t, shelter(t)).Sheet); err != nil {
		t.Fatal(err)
	}
	page := strings.ReplaceAll(b.String(), `xmlns="http://www.w3.org/2000/svg"`, "")
	for _, bad := range []string{"http:", "https:", "src=", "href", "url(", "@import", "<script", "<link", "<iframe", " on", "javascript"} {
		if strings.HasPrefix(bad, " on") {
			if m := regexp.MustCompile(`<[^>]* on[a-z]+=`).FindString(page); m != "" {
				t.Errorf("the page has a handler: %s", m)
			}
			continue
		}
		if strings.Contains(page, bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
	if !strings.HasPrefix(page, "<!DOCTYPE html>\n<html lang=\"en\">") {
		t.Error("the page does not begin with its kind and language")
	}
}
