package paper

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// screenPage holds what a narrow terminal must break: sentences, facts, tables of few and of many columns.
func screenPage() *Document {
	d := &Document{}
	d.heading(1, "Wheels and track together: Tallow Branch & Western, 2026-05-02")
	d.para("The point is out of reach, because the guard check is 54-9/16 in and the axle is wide.")
	d.item("wheel", "WPV 1207 L2: flange thickness 1-3/8 (wheels.csv:14), back to back 53-1/4")
	d.add(Indented{"weld the point and set the guard rail to 54-9/16 in"})
	d.table([]string{"verdict", "check", "feature", "worst wheel", "margin", "pairs", "whose",
		"stopped by"}, [][]string{
		{"conflict", "frog-point", "frog/F4", "WPV 1207 L2", "-0.31 in +-0.06", "118", "pair", "no federal limit"},
		{"undecided", "guard-flangeway", "frog/F14", "ZLTX 9911 R4", "+0.02 in +-0.06", "7", "",
			"the track side"}}, 5)
	return d
}

// On a terminal no line is longer than it is wide and no word is broken or lost, however wide it is.
func TestScreenFits(t *testing.T) {
	words := func(d *Document) []string {
		b, err := d.bytes()
		if err != nil {
			t.Fatal(err)
		}
		out := strings.FieldsFunc(string(b), func(r rune) bool { return strings.ContainsRune(" \n=-", r) })
		slices.Sort(out)
		return slices.Compact(out)
	}
	want := words(screenPage())
	for _, columns := range []int{24, 30, 40, 60, 79, 80, 81, 100, 132, 240} {
		t.Run(fmt.Sprint(columns), func(t *testing.T) {
			d := screenPage()
			d.Screen = Screen{Columns: columns}
			b, err := d.bytes()
			if err != nil {
				t.Fatal(err)
			}
			for l := range strings.Lines(string(b)) {
				if n := utf8.RuneCountInString(strings.TrimRight(l, "\n")); n > columns {
					t.Errorf("%d characters in %q", n, l)
				}
			}
			got := words(d)
			for _, w := range want {
				if !slices.ContainsFunc(got, func(s string) bool {
					return strings.TrimSuffix(s, ":") == strings.TrimSuffix(w, ":")
				}) {
					t.Errorf("%q is broken or lost in\n%s", w, b)
				}
			}
		})
	}
}

// A table that fits is not broken, and one character less breaks it.
func TestFitAtItsWidth(t *testing.T) {
	heads, rows := []string{"a", "b c"}, [][]string{{"one two", "three"}, {"four", "five six"}}
	const natural = len("one two") + between + len("five six")
	if _, whole, ok := fit(heads, rows, natural); !whole || !ok {
		t.Error("a table that fits is broken")
	}
	widths, whole, ok := fit(heads, rows, natural-1)
	if whole || !ok || sum(widths) > natural-1+between {
		t.Errorf("widths %v of %d", widths, natural-1)
	}
	const least = len("four") + between + len("three")
	if _, _, ok := fit(heads, rows, least); !ok {
		t.Error("the longest words fit beside each other")
	}
	if _, _, ok := fit(heads, rows, least-1); ok {
		t.Error("the longest words do not fit beside each other")
	}
}

// Without emphasis nothing steers a terminal; with it headings and words that are marked do, and names as typed never.
func TestEmphasis(t *testing.T) {
	page := func(s Screen) string {
		d := &Document{Screen: s}
		d.heading(1, "Yard \x1b[31m east")
		d.add(Table{Columns: []Column{{Name: "verdict"}, {Name: "where"}}, Rows: []Row{
			{{Text: "conflict", Strong: true}, {Text: "F1"}}, {{Text: "conflicting"}, {Text: "F2"}}}})
		b, err := d.bytes()
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	if got := page(Screen{Columns: 80}); strings.Contains(got, "\x1b") {
		t.Errorf("a page without emphasis steers the terminal: %q", got)
	}
	got := page(Screen{Emphasis: true})
	for _, want := range []string{bold + "Yard [U+001B][31m east" + plain, bold + "conflict" + plain + " ",
		"\nconflicting  F2"} {
		if !strings.Contains(got, want) {
			t.Errorf("%q is not in %q", want, got)
		}
	}
}
