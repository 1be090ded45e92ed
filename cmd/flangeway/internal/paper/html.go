package paper

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"regexp"
	"strconv"
	"strings"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

//go:embed page.js
var pageJS string

// view is a page with what the template cannot do itself.
type view struct {
	*Document
	CSS    template.CSS
	JS     template.JS
	Policy string
}

// Sections lists the parts of the page that its head leads to.
func (v view) Sections() []Section {
	var out []Section
	for _, b := range v.Blocks {
		if s, ok := b.(Section); ok {
			out = append(out, s)
		}
	}
	return out
}

// mixed is a mixed number: a browser would break the line behind its hyphen.
var mixed = regexp.MustCompile(`[0-9]+-[0-9]+/[0-9]+`)

// whole escapes a text and keeps its mixed numbers on one line.
func whole(s string) template.HTML {
	return template.HTML(mixed.ReplaceAllString(template.HTMLEscapeString(s), `<span class="w">$0</span>`))
}

// html writes the page as one file. The same page gives the same bytes.
func (d *Document) html() ([]byte, error) {
	var t *template.Template
	t, err := template.New("page").Funcs(template.FuncMap{
		"svg":   func(b []byte) template.HTML { return template.HTML(b) }, // escaped by the draw package
		"whole": whole,
		"key":   func(v *float64) string { return strconv.FormatFloat(*v, 'f', -1, 64) },
		"parts": func(list []Block) (template.HTML, error) { return parts(t, list) },
	}).Parse(pageHTML)
	if err != nil {
		return nil, fmt.Errorf("the page's template: %w", err)
	}
	// The page may run its own script and nothing else, and fetch nothing.
	sum := sha256.Sum256([]byte(pageJS))
	policy := "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'none'"
	var b bytes.Buffer
	if err := t.Execute(&b, view{Document: d, CSS: template.CSS(pageCSS), JS: template.JS(pageJS), Policy: policy}); err != nil {
		return nil, fmt.Errorf("the page: %w", err)
	}
	return b.Bytes(), nil
}

// parts writes blocks, each by the template of its kind; facts that follow one another are
// one list.
func parts(t *template.Template, list []Block) (template.HTML, error) {
	var out strings.Builder
	for i := 0; i < len(list); i++ {
		var data any = list[i]
		name := ""
		switch b := list[i].(type) {
		case Heading:
			name = "heading"
		case Para:
			name = "para"
		case Line:
			name = "line"
		case Fact:
			facts := []Fact{b}
			for i+1 < len(list) {
				more, ok := list[i+1].(Fact)
				if !ok {
					break
				}
				facts = append(facts, more)
				i++
			}
			name, data = "facts", facts
		case Table:
			name = "table"
		case Drawing:
			name = "drawing"
		case Section:
			name = "section"
			if b.Place {
				name = "place"
			}
		case Explained:
			name = "explained"
		case Bullets:
			name = "bullets"
		case Signatures:
			name = "signatures"
		case Gap:
			continue
		}
		if err := t.ExecuteTemplate(&out, name, data); err != nil {
			return "", err
		}
	}
	return template.HTML(out.String()), nil
}
