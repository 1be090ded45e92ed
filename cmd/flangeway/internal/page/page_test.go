package page

import (
	"bytes"
	"strings"
	"testing"
)

func sample() *Data {
	v := 3.5
	return &Data{
		Title: "A page", Boxes: []Box{{"railroad", "Test & Sons"}}, Summary: Summary{Sentences: []string{"One sentence."}},
		Plan: &Section{ID: "plan", Title: "The joint plan", Notes: []string{"a note"}, Drawings: []Drawing{{SVG: []byte(`<svg role="img"></svg>`), Caption: "cost"}},
			Tables: []Table{{ID: "plan-table", Caption: "actions", Columns: []Column{{Name: "what", Head: true}, {Name: "cost", Number: true}}, Rows: []Row{{{Text: "turn"}, {Text: "3.5", Key: &v}}}}}},
		Places:   []Place{{ID: "place-1", Name: "East lead", Risk: "conflict: frog", Worst: &Worst{Title: "strikes", Facts: []Fact{{"wheel", "TY 1 L1"}}}}},
		Cautions: []string{"a caution"}, Program: "flangeway 0", Hash: "abc",
	}
}

// A section that is nil is absent, with its link; one that is there has both.
func TestAbsentSections(t *testing.T) {
	b, err := HTML(sample())
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`<section id="plan"`, `href="#plan"`, `data-k="3.5"`, "<figcaption>cost", "Test &amp; Sons", `id="place-1"`, "East lead"} {
		if !bytes.Contains(b, []byte(want)) {
			t.Errorf("no %s", want)
		}
	}
	for _, absent := range []string{"orders", "wear", "signatures", "limits", "readings"} {
		if bytes.Contains(b, []byte(`id="`+absent)) || bytes.Contains(b, []byte(`href="#`+absent)) {
			t.Errorf("%s stands on the page", absent)
		}
	}
	d := sample()
	d.Plan, d.Places = nil, nil
	b, err = HTML(d)
	if err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(b, []byte(`id="plan"`)) || bytes.Contains(b, []byte(`id="places"`)) {
		t.Error("an absent section stands on the page")
	}
}

// What is typed is text in every field of the page.
func TestFieldsAreEscaped(t *testing.T) {
	x := `<script>"'&</style>{{.}}`
	d := sample()
	d.Title, d.Boxes[0] = x, Box{x, x}
	d.Summary.Sentences[0] = x
	s := d.Plan
	s.Title, s.Notes[0], s.After = x, x, []string{x}
	s.Drawings[0].Caption = x
	s.Tables[0].Caption, s.Tables[0].Columns[0].Name = x, x
	s.Tables[0].Rows[0][0] = Cell{Text: x, Lines: []string{x}}
	d.Places[0] = Place{ID: "place-1", Name: x, Risk: x, Notes: []string{x}, Worst: &Worst{Title: x, Facts: []Fact{{x, x}}}, After: []string{x}}
	d.Cautions, d.Program, d.Hash, d.Signers = []string{x}, x, x, []string{x}
	b, err := HTML(d)
	if err != nil {
		t.Fatal(err)
	}
	if n := bytes.Count(b, []byte("<script")); n != 1 {
		t.Errorf("%d scripts, want the page's own", n)
	}
	if n := bytes.Count(b, []byte("</style>")); n != 1 {
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
		{"81", strings.Repeat("a", 81), strings.Repeat("a", 40) + " ... (81 characters) ... " + strings.Repeat("a", 20), "cut in the middle"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := Name(tc.in); got != tc.want {
				t.Errorf("%q, want %q: %s", got, tc.want, tc.reason)
			}
		})
	}
}
