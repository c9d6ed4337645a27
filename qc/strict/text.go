package strict

import (
	"reflect"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Whole refuses bytes that are no UTF-8 text or more than most.
func Whole(raw []byte, most int) error {
	switch {
	case len(raw) > most:
		return Refuse(CodeBadJSON, "", "it is larger than %d KiB", most>>10)
	case !utf8.Valid(raw):
		return Refuse(CodeBadJSON, "", "it is not UTF-8 text")
	}
	return nil
}

// Check looks at the fields of a struct that was filled by hand as [Decode] does at those it fills: the length
// and the characters of texts, the least of numbers.
func Check(v any) error {
	for _, f := range fields(reflect.ValueOf(v), nil) {
		if err := f.check(f.name, f.value); err != nil {
			return err
		}
	}
	return nil
}

// check holds one value against the tags of its field.
func (f field) check(path string, v reflect.Value) error {
	switch v.Kind() {
	case reflect.String:
		if most, err := strconv.Atoi(f.tag.Get("most")); err == nil {
			return text(path, v.String(), most, f.tag.Get("lines") == "yes")
		}
	case reflect.Int64, reflect.Int:
		if least, err := strconv.ParseInt(f.tag.Get("least"), 10, 64); err == nil && v.Int() < least {
			return Refuse(CodeRange, path, "is %d; give %d or more", v.Int(), least)
		}
	case reflect.Slice:
		for i := range v.Len() {
			if err := f.check(path, v.Index(i)); err != nil {
				return err
			}
		}
	}
	return nil
}

// text refuses what no name, reason or key needs and what could disturb a page or a log.
func text(path, s string, most int, lines bool) error {
	bad := func(do, format string, args ...any) error {
		e := Refuse(CodeBadText, path, format, args...)
		e.Do = do
		return e
	}
	if !utf8.ValidString(s) {
		return bad("send UTF-8", "is not valid text")
	}
	if strings.ContainsRune(s, utf8.RuneError) {
		return bad("send it whole", "holds half a character")
	}
	if utf8.RuneCountInString(s) > most {
		return bad("shorten it", "is longer than %d characters", most)
	}
	for _, c := range s {
		if unicode.IsControl(c) && !(lines && strings.ContainsRune("\r\n\t", c)) || c >= 0x202a && c <= 0x202e || c >= 0x2066 && c <= 0x2069 {
			return bad("leave it out", "holds the unprintable character %q", c)
		}
	}
	return nil
}
