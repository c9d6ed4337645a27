package reports

import (
	"encoding/json"
	"io"
)

// csvw is the metadata of one CSV file after the W3C Recommendation "Metadata Vocabulary for Tabular
// Data" (2015); units are UCUM codes under a property of the schema.org vocabulary.
type csvw struct {
	Context string      `json:"@context"`
	URL     string      `json:"url"`
	Title   string      `json:"dc:title"`
	Dialect csvwDialect `json:"dialect"`
	Schema  csvwSchema  `json:"tableSchema"`
}

type csvwDialect struct {
	Encoding        string   `json:"encoding"`
	Delimiter       string   `json:"delimiter"`
	LineTerminators []string `json:"lineTerminators"`
	QuoteChar       string   `json:"quoteChar"`
	DoubleQuote     bool     `json:"doubleQuote"`
	Header          bool     `json:"header"`
}

type csvwSchema struct {
	Columns    []csvwColumn `json:"columns"`
	PrimaryKey []string     `json:"primaryKey"`
}

type csvwColumn struct {
	Name     string `json:"name"`
	Titles   string `json:"titles"`
	Datatype string `json:"datatype"`
	Unit     string `json:"schema:unitCode,omitempty"`
	Note     string `json:"rdfs:comment,omitempty"`
}

// WriteCSVW writes the metadata of the file that [WriteCSV] writes; url is that file's name.
func WriteCSVW(w io.Writer, m Model, url string) error {
	return writeCSVW(w, url, m.Title+": ribs", ribColumns(m), "batch", "rib")
}

// WriteReadingsCSVW writes the metadata of the file that [WriteReadingsCSV] writes.
func WriteReadingsCSVW(w io.Writer, m Model, url string) error {
	return writeCSVW(w, url, m.Title+": values", readingColumns(), "record")
}

func writeCSVW(w io.Writer, url, title string, cs []column, key ...string) error {
	meta := csvw{
		Context: "http://www.w3.org/ns/csvw", URL: url, Title: title,
		Dialect: csvwDialect{Encoding: "utf-8", Delimiter: ",", LineTerminators: []string{"\r\n"}, QuoteChar: `"`, DoubleQuote: true, Header: true},
		Schema:  csvwSchema{PrimaryKey: key},
	}
	for _, c := range cs {
		col := csvwColumn{Name: c.name, Titles: Guarded(c.title), Datatype: c.kind}
		if c.unit != "" {
			col.Unit = "ucum:" + c.unit
		}
		if c.isText() {
			col.Note = "a leading apostrophe is not part of the text"
		}
		meta.Schema.Columns = append(meta.Schema.Columns, col)
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(meta)
}
