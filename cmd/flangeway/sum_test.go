package main

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every sheet that is made of one survey carries the first digits of one sum: the table, the json of check and plan,
// the work orders and the printed page.
func TestEverySheetHasOneSum(t *testing.T) {
	dir := sheetsOf(t, map[string]string{"wheels.csv": goodWheels, "frogs.csv": goodFrogs,
		"railroad.yaml": "schema: 1\nrailroad: 'A \"B\" </style> & C'\ndate: 2026-05-01\n"})
	page := filepath.Join(t.TempDir(), "page.html")
	if _, errs, code := runFor(t, "report", dir, "--plain", "-o", page); code != exitOK {
		t.Fatal(errs)
	}
	html, err := os.ReadFile(page)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(html), "</style>"); n != 1 {
		t.Errorf("the railroad's name ends the style sheet: %d ends", n)
	}
	sheets := map[string]string{"page": string(html)}
	for name, args := range map[string][]string{"check": {"check", dir, "--plain", "--fail-on", "never"},
		"json": {"check", dir, "--plain", "--fail-on", "never", "--format", "json"}, "plan": {"plan", dir, "--plain"},
		"plan json": {"plan", dir, "--plain", "--format", "json"}} {
		out, errs, code := runFor(t, args...)
		if code != exitOK {
			t.Fatal(errs)
		}
		sheets[name] = out
	}
	sum := regexp.MustCompile(`(?:survey\s+|survey_sha256": ")([0-9a-f]{12})`)
	first := ""
	for name, text := range sheets {
		m := sum.FindStringSubmatch(text)
		if m == nil {
			t.Errorf("%s does not name its survey", name)
			continue
		}
		if first == "" {
			first = m[1]
		}
		if m[1] != first {
			t.Errorf("%s names survey %s, another sheet %s", name, m[1], first)
		}
	}
}
