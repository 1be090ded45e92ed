package main

import (
	"regexp"
	"strings"
	"testing"

	"flangeway/configs"
)

// A figure that is from memory or second hand says so wherever it is printed: a page that
// names such a rule has its word on it too. csv of check has no figures of rules.
func TestUnreadFiguresSaySo(t *testing.T) {
	data, err := configs.Load()
	if err != nil {
		t.Fatal(err)
	}
	space := regexp.MustCompile(`[\s\\]+`)
	for _, tt := range []struct {
		name  string
		args  []string
		least int // rules of that kind which the demo brings up
	}{
		{"check, text", []string{"check", demo, "--plain", "--fail-on", "never"}, 3},
		{"check, markdown", []string{"check", demo, "--plain", "--fail-on", "never", "--format", "markdown"}, 3},
		{"check, json", []string{"check", demo, "--plain", "--fail-on", "never", "--format", "json"}, 10},
		{"limits", []string{"limits", demo}, 20},
		{"plan", []string{"plan", demo, "--plain"}, 3},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got, errText, code := runFor(t, tt.args...)
			if code != 0 {
				t.Fatalf("exit code %d: %s", code, errText)
			}
			got = space.ReplaceAllString(got, " ")
			// A paragraph that a check cites as its source has its own words there.
			ids := strings.ReplaceAll(got, "CFR 215.103", "")
			named := 0
			for _, set := range data.Sets {
				for _, r := range set.Rules {
					if !strings.Contains(r.Sure, "from memory") && !strings.Contains(r.Sure, "second hand") || !strings.Contains(ids, r.ID) {
						continue
					}
					named++
					if !strings.Contains(got, r.Sure) {
						t.Errorf("%s is printed without %q", r.ID, r.Sure)
					}
				}
			}
			if named < tt.least {
				t.Errorf("only %d rules were named that nobody read", named)
			}
		})
	}
	if got, _, _ := runFor(t, "shape", "--hollow", "3", "--rim-thickness", "1-1/4", "--step", "5"); !strings.Contains(space.ReplaceAllString(got, " "), "49 CFR 215.103(c) (freight), from memory") {
		t.Error("shape gives the rim limit of 215.103 as read")
	}
	if got, _, _ := runFor(t, "explain", "frog-floor"); !strings.Contains(space.ReplaceAllString(got, " "), "flange height 1-1/2 in (both from memory)") {
		t.Error("explain frog-floor gives the flange height of 215.103 as read")
	}
}
