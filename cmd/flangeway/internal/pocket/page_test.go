package pocket

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// TestDense: bytes written as letters are text that a browser leaves as it is, and come back as the page reads them.
func TestDense(t *testing.T) {
	t.Parallel()
	data := []byte("\x00\r\n<</script>\xff\xfe")
	for i := range 3000 {
		data = append(data, byte(i*i), byte(i), 0)
	}
	for n := range 40 {
		text := dense(data[:len(data)-n])
		if !utf8.ValidString(text) || strings.ContainsAny(text, "\x00\r<") {
			t.Fatalf("%d bytes give what a browser changes", len(data)-n)
		}
		var back []byte
		held, has := 0, 0
		for _, r := range text { // as page.js
			held = (held<<7 | int(r)&127) & 0x7fff
			if has += 7; has >= 8 {
				has -= 8
				back = append(back, byte(held>>has))
			}
		}
		if !bytes.Equal(back, data[:len(data)-n]) {
			t.Fatalf("%d bytes are others when they come back", len(data)-n)
		}
	}
}

// TestDiffers: a page that is another is told from that of the survey, one that was made anew with its own sums too.
func TestDiffers(t *testing.T) {
	t.Parallel()
	made := func(limits, engine string) []byte {
		p := Page{Title: "Readings", Files: map[string][]byte{"railroad.yaml": []byte(limits)},
			Engine: []byte(engine), Exec: "go()"}
		page, err := p.Bytes()
		if err != nil {
			t.Fatal(err)
		}
		return page
	}
	page := Page{Title: "Readings", Files: map[string][]byte{"railroad.yaml": []byte("limits: [federal]")},
		Engine: []byte("engine"), Exec: "go()"}
	mine := made("limits: [federal]", "engine")
	for name, c := range map[string]struct {
		file []byte
		want []string
	}{
		"the page":       {mine, nil},
		"other limits":   {made("limits: []", "engine"), []string{"the survey"}},
		"another engine": {made("limits: [federal]", "forged"), []string{"its engine"}},
		"another policy": {bytes.Replace(mine, []byte("default-src 'none'"), []byte("default-src *"), 1),
			[]string{"its own script, its looks or its policy"}},
		"one letter more": {append(slices.Clone(mine), ' '), []string{"its own script, its looks or its policy"}},
		"nothing": {nil, []string{"the survey", "what computes beside it", "what runs its engine",
			"its engine"}},
	} {
		if got, err := page.Differs(c.file); err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%s: %q, %v", name, got, err)
		}
	}
}
