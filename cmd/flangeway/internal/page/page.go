package page

import (
	"bytes"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"regexp"
	"strconv"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

//go:embed page.js
var pageJS string

// view is the data with what the template cannot do itself.
type view struct {
	*Data
	CSS    template.CSS
	JS     template.JS
	Policy string
}

// Before lists the sections before the places, in the order of the page.
func (v view) Before() []*Section { return present(v.List, v.Words, v.Plan, v.Orders) }

// After lists the sections behind the places.
func (v view) After() []*Section {
	return present(v.Wheels, v.Classes, v.Limits, v.Readings, v.Wear, v.Assumed, v.Warnings)
}

func present(list ...*Section) []*Section {
	var out []*Section
	for _, s := range list {
		if s != nil {
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

// HTML makes the page. The same data gives the same bytes.
func HTML(d *Data) ([]byte, error) {
	t, err := template.New("page").Funcs(template.FuncMap{
		"svg":   func(b []byte) template.HTML { return template.HTML(b) }, // escaped by the draw package
		"whole": whole,
		"key":   func(v *float64) string { return strconv.FormatFloat(*v, 'f', -1, 64) },
	}).Parse(pageHTML)
	if err != nil {
		return nil, fmt.Errorf("the page's template: %w", err)
	}
	// The page may run its own script and nothing else, and fetch nothing.
	sum := sha256.Sum256([]byte(pageJS))
	policy := "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'none'"
	var b bytes.Buffer
	if err := t.Execute(&b, view{Data: d, CSS: template.CSS(pageCSS), JS: template.JS(pageJS), Policy: policy}); err != nil {
		return nil, fmt.Errorf("the page: %w", err)
	}
	return b.Bytes(), nil
}
