package paper

import (
	"bytes"
	"strings"
	"testing"
)

func sample() *Document {
	v := 3.5
	return &Document{
		Form: HTML, Title: "A page", Boxes: []Fact{{"railroad", "Test & Sons"}}, Caution: "a caution",
		Program: "flangeway 0", Hash: "abc",
		Blocks: []Block{
			Section{ID: "summary", Title: "Summary", Blocks: []Block{Para{"One sentence."}}},
			Section{ID: "plan", Title: "The joint plan", Blocks: []Block{Para{"a note"}, Heading{3, "more"},
				Line{"flangeway check"}, Fact{"cost", "3"}, Fact{"bound", "2"}, Gap{}, Bullets{"one"},
				Signatures{"Track"}, Table{ID: "plan-table", Caption: "actions", Columns: []Column{{Name: "what",
					Head: true}, {Name: "cost", Number: true}}, Rows: []Row{{{Text: "turn"}, {Text: "3.5", Key: &v}}}},
				Drawing{SVG: []byte(`<svg role="img"></svg>`), Caption: "cost"}}},
			Section{ID: "places", Title: "Location by location", Blocks: []Block{
				Section{ID: "place-1", Place: true, Title: "East lead", Risk: "conflict: frog", Back: "summary",
					Blocks: []Block{Explained{Title: "strikes", Blocks: []Block{Fact{"wheel", "TY 1 L1"}}}}}}},
		},
	}
}

// written is a page in a form.
func written(t *testing.T, d *Document, f Form) string {
	t.Helper()
	var b bytes.Buffer
	d.Form = f
	if err := d.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// One page stands in all three forms: every block is written in each, but for what only a browser can show.
func TestEveryBlockInEveryForm(t *testing.T) {
	html := written(t, sample(), HTML)
	for _, want := range []string{`<section id="plan"`, `href="#plan"`, `data-k="3.5"`, "<figcaption>cost",
		"Test &amp; Sons", `id="place-1"`, "East lead", "<h3>more</h3>", "<code>flangeway check</code>",
		"<dt>bound</dt>", "<li>one</li>", `rowheader">Track</th>`, "<svg", "<h4>strikes</h4>"} {
		if !strings.Contains(html, want) {
			t.Errorf("no %s", want)
		}
	}
	if n := strings.Count(html, `<dl class="facts">`); n != 2 {
		t.Errorf("%d lists of facts: those that follow one another are one", n)
	}
	for _, absent := range []string{"orders", "signatures"} {
		if strings.Contains(html, `href="#`+absent) {
			t.Errorf("a link leads to %s, which is no part of the page", absent)
		}
	}
	for _, want := range []string{"The joint plan\n---", "a note\n", "\nmore\n",
		"flangeway check\n", "   cost      3\n", "   bound     2\n", "* one\n", "what  cost\n", "turn   3.5\n",
		"East lead   conflict: frog\n", "strikes\n", "   wheel     TY 1 L1\n"} {
		if text := written(t, sample(), Text); !strings.Contains(text, want) {
			t.Errorf("text: no %q in\n%s", want, text)
		}
	}
	for _, want := range []string{"## The joint plan\n\n", "a note\n\n", "### more\n\n",
		"- **cost** 3\n- **bound** 2\n\n", "\\* one\n\n", "| what | cost |\n|---|---:|\n| turn | 3.5 |\n\n",
		"## East lead   conflict: frog\n\n", "### strikes\n\n- **wheel** TY 1 L1\n\n"} {
		if text := written(t, sample(), Markdown); !strings.Contains(text, want) {
			t.Errorf("markdown: no %q in\n%s", want, text)
		}
	}
}

// The lines that are counted before a page is written are those that are written.
func TestLinesAreCounted(t *testing.T) {
	long := strings.Repeat("a word ", 40)
	d := sample()
	d.Blocks = append(d.Blocks, Para{long}, Fact{"label", long}, Fact{"a label too long", long},
		Table{Columns: []Column{{Name: "name"}}, Rows: []Row{{{Text: "two\nlines"}}, {{Text: "one"}}}},
		Table{Columns: []Column{{Name: "none"}}})
	for _, f := range []Form{Text, Markdown} {
		for i := range d.Blocks {
			part := &Document{Blocks: d.Blocks[i : i+1]}
			if got, want := linesOf(f, part.Blocks), strings.Count(written(t, part, f), "\n"); got != want {
				t.Errorf("form %d, block %d: counted %d, written %d", f, i, got, want)
			}
		}
		if got, want := linesOf(f, d.Blocks), strings.Count(written(t, d, f), "\n"); got != want {
			t.Errorf("form %d: counted %d, written %d", f, got, want)
		}
	}
}

// What is typed is text in every field of the page.
func TestFieldsAreEscaped(t *testing.T) {
	x := `<script>"'&</style>{{.}}`
	d := &Document{Form: HTML, Title: x, Boxes: []Fact{{x, x}}, Caution: x, Program: x, Hash: x, Blocks: []Block{
		Section{ID: "a", Title: x, Blocks: []Block{Para{x}, Heading{3, x}, Line{x}, Fact{x, x},
			Bullets{x}, Signatures{x}, Drawing{Caption: x}, Table{Caption: x, Columns: []Column{{Name: x}},
				Rows: []Row{{{Text: x, Lines: []string{x}}}}}, Section{ID: "b", Place: true, Title: x, Risk: x,
				Blocks: []Block{Explained{Title: x, Drawing: &Drawing{Caption: x}, Blocks: []Block{Fact{x, x}}}}}}}}}
	page := written(t, d, HTML)
	if n := strings.Count(page, "<script"); n != 1 {
		t.Errorf("%d scripts, want the page's own", n)
	}
	if n := strings.Count(page, "</style>"); n != 1 {
		t.Errorf("%d ends of a style", n)
	}
}

// Names as typed are shown on one line, not turned, not endless.
func TestName(t *testing.T) {
	for _, tc := range []struct{ name, in, want, reason string }{
		{"plain", "WPV 1204", "WPV 1204", "stays"},
		{"markup", "<b>&", "<b>&", "escaping is the template's"},
		{"line", "a\nb\tc", "a[U+000A]b[U+0009]c", "one line"},
		{"turned", "a\u202eb", "a[U+202E]b", "an override would turn what stands behind it"},
		{"isolate", "a\u2069b", "a[U+2069]b", "an end of an isolate would open it"},
		{"unseen", "a\u200bb", "a[U+200B]b", "two names that look alike are told apart"},
		{"other letters", "\u05e9", "\u2068\u05e9\u2069", "kept to themselves"},
		{"80", strings.Repeat("a", 80), strings.Repeat("a", 80), "the longest that stays whole"},
		{"81", strings.Repeat("a", 81), strings.Repeat("a", 40) + " ... (81 characters) ... " + strings.Repeat("a", 20),
			"cut in the middle"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := Name(tc.in); got != tc.want {
				t.Errorf("%q, want %q: %s", got, tc.want, tc.reason)
			}
		})
	}
}

// What stands at the head and the foot of a sheet is text, whatever a railroad is called.
func TestSheetNamesAreText(t *testing.T) {
	d := sample()
	d.Title, d.Sheet = `Line: "A" </style><script>`, `javascript: A; } body { display: none }`
	page := written(t, d, HTML)
	style := page[strings.Index(page, "<style>"):strings.Index(page, "</style>")]
	for _, want := range []string{`content: "Line\00003a\000020\000022A\000022\000020\00003c\00002fstyle\00003e\00003cscript\00003e"`,
		`content: "javascript\00003a\000020A\00003b\000020\00007d`} {
		if !strings.Contains(style, want) {
			t.Errorf("no %s in %s", want, style[len(style)-400:])
		}
	}
	if strings.Contains(page, "ZgotmplZ") {
		t.Error("a text was taken for an address")
	}
}
