//go:build !js

package pocket

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	_ "embed"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"html"
	"slices"
	"strings"
	"unicode/utf8"

	"flangeway/internal/survey"
)

//go:embed page.html
var pageHTML string

//go:embed page.css
var pageCSS string

//go:embed page.js
var pageJS string

//go:embed beside.js
var besideJS string

//go:embed worker.js
var workerJS string

// Page holds the contents of one page.
type Page struct {
	Title  string
	Sum    string            // of the survey: what is kept on a device is kept under it
	Files  map[string][]byte // of the survey
	Things []Thing
	Words  map[string]string // columns as people say them, where that is not their name
	Engine []byte            // package engine as WebAssembly, see Pack
	Exec   string            // what runs it, of the Go that has built it
}

// Bytes is the page: one file that loads nothing, and runs its own scripts alone.
func (p *Page) Bytes() ([]byte, error) { return p.bytes(false) }

// Folder is the page as the files of a web folder, by name: it keeps itself on the device, and can be put among its
// programs.
func (p *Page) Folder() (map[string][]byte, error) {
	page, err := p.bytes(true)
	if err != nil {
		return nil, err
	}
	manifest, err := json.Marshal(map[string]any{"name": p.Title, "short_name": "flangeway", "start_url": "./",
		"scope": "./", "display": "standalone"})
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(page)
	return map[string][]byte{"index.html": page, "manifest.webmanifest": manifest,
		"worker.js": []byte(strings.ReplaceAll(workerJS, "{{SUM}}", fmt.Sprintf("%x", sum[:8])))}, nil
}

// Differs is what of a file is not as in the page, none where it is this page byte for byte. A page holds no secret, so
// it cannot tell by itself that somebody made it anew with other scripts and their sums; whoever can make it again can.
func (p *Page) Differs(file []byte) (whats []string, _ error) {
	page, err := p.bytes(false)
	if err != nil || bytes.Equal(page, file) {
		return nil, err
	}
	for _, part := range []struct{ name, id string }{{"the survey", "survey"}, {"what computes beside it", "beside"},
		{"what runs its engine", "exec"}, {"its engine", "engine"}} {
		if !bytes.Equal(script(page, part.id), script(file, part.id)) {
			whats = append(whats, part.name)
		}
	}
	if len(whats) == 0 {
		whats = []string{"its own script, its looks or its policy"}
	}
	return whats, nil
}

// script is the text of a page's script with an id.
func script(page []byte, id string) []byte {
	_, text, _ := bytes.Cut(page, []byte(`id="`+id+`">`))
	text, _, _ = bytes.Cut(text, []byte("</script>"))
	return text
}

func (p *Page) bytes(folder bool) ([]byte, error) {
	files := map[string]string{}
	for name, text := range p.Files {
		files[name] = string(text)
	}
	columns := map[string][]Column{} // of a kind, without what a thing had last
	things := slices.Clone(p.Things)
	for i, t := range things {
		if columns[t.Kind] == nil {
			list := slices.Clone(t.Columns)
			for k := range list {
				list[k].Last = ""
			}
			columns[t.Kind] = list
		}
		things[i].Lasts = map[string]string{}
		for _, c := range t.Columns {
			if c.Last != "" {
				things[i].Lasts[c.Name] = c.Last
			}
		}
		things[i].Columns = nil
	}
	carried, err := json.Marshal(map[string]any{"sum": p.Sum, "files": files, "things": things, "columns": columns,
		"words": p.Words, "folder": folder, "sheets": survey.SheetFiles()})
	if err != nil {
		return nil, err
	}
	if strings.Contains(strings.ToLower(p.Exec), "</script") {
		return nil, fmt.Errorf("what runs the engine ends its own script")
	}
	link, policy := "", "; worker-src blob:"
	if folder {
		link, policy = `<link rel="manifest" href="manifest.webmanifest">`,
			"; worker-src 'self' blob:; manifest-src 'self'"
	}
	engine := dense(p.Engine)
	script := strings.NewReplacer("{{SURVEYSUM}}", sum(string(carried)+besideJS),
		"{{ENGINESUM}}", sum(engine)).Replace(pageJS)
	return []byte(strings.NewReplacer("{{LINK}}", link, "{{POLICY}}", policy,
		"{{SCRIPTS}}", hash(p.Exec)+" "+hash(script),
		"'{{STYLE}}'", hash(pageCSS),
		"{{TITLE}}", html.EscapeString(p.Title), "{{CSS}}", pageCSS, "{{SURVEY}}", string(carried), "{{ENGINE}}",
		engine,
		"{{EXEC}}", p.Exec, "{{BESIDE}}", besideJS, "{{JS}}", script).Replace(pageHTML)), nil
}

// Pack packs an engine for a page.
func Pack(engine []byte) ([]byte, error) {
	var packed bytes.Buffer
	z, err := gzip.NewWriterLevel(&packed, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := z.Write(engine); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	return packed.Bytes(), nil
}

// dense is bytes as letters, seven bits in each, the last filled up with zeros: an eighth longer, base64 is a third.
// A zero, a carriage return and what begins a tag are changed or understood by a browser, so these have the eighth bit
// too, which makes two bytes of a letter.
func dense(data []byte) string {
	out := make([]byte, 0, len(data)*6/5)
	add := func(bits byte) {
		switch bits &= 0x7f; bits {
		case 0, '\r', '<':
			out = utf8.AppendRune(out, rune(bits|0x80))
		default:
			out = append(out, bits)
		}
	}
	held, has := uint(0), 0
	for _, b := range data {
		held, has = held<<8|uint(b), has+8
		for has >= 7 {
			has -= 7
			add(byte(held >> has))
		}
	}
	if has > 0 {
		add(byte(held << (7 - has)))
	}
	return string(out)
}

func sum(text string) string { return fmt.Sprintf("%x", sha256.Sum256([]byte(text))) }

// hash is the sum by which a policy knows a script or a style.
func hash(text string) string {
	sum := sha256.Sum256([]byte(text))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}
