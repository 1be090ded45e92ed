package paper

import (
	"bytes"
	"cmp"
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
		switch b := b.(type) {
		case Section:
			out = append(out, b)
		case Fold:
			for _, in := range b.Blocks {
				if s, ok := in.(Section); ok {
					out = append(out, s)
				}
			}
		}
	}
	return out
}

// mixed is a mixed number or a day: a browser would break the line behind its hyphen.
var mixed = regexp.MustCompile(`[0-9]+-[0-9]+/[0-9]+|\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b`)

// quoted is a text as a string of a style sheet, every sign and blank by its number: the template's own escaping takes
// what stands before a colon for the scheme of an address.
func quoted(s string) template.CSS {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		if r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, "\\%06x", r)
		}
	}
	b.WriteByte('"')
	return template.CSS(b.String())
}

// whole escapes a text and keeps its mixed numbers and days on one line.
func whole(s string) template.HTML {
	return template.HTML(mixed.ReplaceAllString(template.HTMLEscapeString(s), `<span class="w">$0</span>`))
}

// html writes the page as one file. The same page gives the same bytes.
func (d *Document) html() ([]byte, error) {
	t, err := template.New("page").Funcs(template.FuncMap{
		"svg":    func(b []byte) template.HTML { return template.HTML(b) }, // escaped by the draw package
		"whole":  whole,
		"quoted": quoted,
		"apart":  apartFigure,
		"key":    func(v *float64) string { return strconv.FormatFloat(*v, 'f', -1, 64) },
	}).Parse(pageHTML)
	if err != nil {
		return nil, fmt.Errorf("the page's template: %w", err)
	}
	// The page may run its own script and nothing else, and fetch nothing.
	sum := sha256.Sum256([]byte(pageJS))
	policy := "default-src 'none'; img-src data:; style-src 'unsafe-inline'; script-src 'sha256-" +
		base64.StdEncoding.EncodeToString(sum[:]) + "'; base-uri 'none'; form-action 'none'"
	p := &htmlPrinter{t: t}
	p.template("head", view{Document: d, CSS: template.CSS(pageCSS), Policy: policy})
	p.blocks(d.inWords())
	p.template("foot", view{Document: d, JS: template.JS(pageJS)})
	if p.err != nil {
		return nil, fmt.Errorf("the page: %w", p.err)
	}
	return p.b.Bytes(), nil
}

// htmlPrinter writes blocks by the templates of their kinds; the first error stays.
type htmlPrinter struct {
	t   *template.Template
	b   bytes.Buffer
	err error
}

func (p *htmlPrinter) template(name string, data any) {
	if p.err == nil {
		p.err = p.t.ExecuteTemplate(&p.b, name, data)
	}
}

// blocks writes blocks; facts that follow one another are one list.
func (p *htmlPrinter) blocks(list []Block) {
	var facts []Fact
	for i, b := range list {
		if f, ok := b.(Fact); ok {
			facts = append(facts, f)
			if i+1 < len(list) {
				if _, more := list[i+1].(Fact); more {
					continue
				}
			}
			p.template("facts", facts)
			facts = nil
			continue
		}
		p.block(b)
	}
}

func (p *htmlPrinter) block(b Block) {
	switch b := b.(type) {
	case Heading:
		p.template("heading", b)
	case Para:
		p.template("para", b)
	case Line:
		p.template("line", b)
	case Table:
		p.template("table", b)
	case Drawing:
		p.template("drawing", b)
	case Tiled:
		p.template("tiled", b)
	case Section:
		p.template("section", b)
		p.blocks(b.Blocks)
		p.template("section end", b)
	case Fold:
		p.template("fold", b)
		p.blocks(b.Blocks)
		p.template("fold end", b)
	case Later:
		s, err := b()
		if err != nil {
			p.err = cmp.Or(p.err, err)
			return
		}
		p.block(*s)
	case Explained:
		p.template("explained", b)
		p.blocks(b.Blocks)
		p.template("explained end", b)
	case Bullets:
		p.template("bullets", b)
	case Signatures:
		p.template("signatures", b)
	}
}
