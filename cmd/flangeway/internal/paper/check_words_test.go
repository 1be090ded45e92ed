package paper

import (
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
)

// TestSettleWords: what was not read is read; only what was read is read more closely.
func TestSettleWords(t *testing.T) {
	gauge := interaction.Entered{Side: "track", Quantity: "gauge", Reading: measure.Exact(1435, "56-1/2")}
	for _, tt := range []struct {
		name     string
		readings []interaction.Entered
		settle   []string
		want     string
	}{
		{"nothing was read", nil, []string{"rim_width", "loaded_gauge"}, "by reading rim_width or loaded_gauge"},
		{"two together", nil, []string{"rim_width and rim_width of the mate", "loaded_gauge"},
			"by reading rim_width and rim_width of the mate or loaded_gauge"},
		{"it was read", []interaction.Entered{gauge}, []string{"gauge"}, "by reading gauge more closely"},
		{"one of two was read", []interaction.Entered{gauge}, []string{"gauge", "rim_width"},
			"by reading rim_width, or by reading gauge more closely"},
		{"the other wheel's was not", []interaction.Entered{gauge}, []string{"gauge of the mate"},
			"by reading gauge of the mate"},
	} {
		f := &judge.Finding{Verdict: interaction.Undecided, Readings: tt.readings,
			SettleBy: func() []string { return tt.settle }}
		if got := SettleText(f); got != tt.want {
			t.Errorf("%s: %q, want %q", tt.name, got, tt.want)
		}
	}
}

// TestWordsWithoutFederal: without the federal set nothing is said to be legal.
func TestWordsWithoutFederal(t *testing.T) {
	f := &judge.Finding{Verdict: interaction.Conflict, WheelWithinLimits: limit.None,
		TrackWithinLimits: limit.None, TrackWithinPractice: limit.No}
	if got := legalText(f, false); got != "federal set left out" {
		t.Errorf("%q", got)
	}
	if got, want := limitsText(f, false), "the federal set is left out: not judged by it; track past a figure of "+
		"practice"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	s := judge.Summary{BothLegal: 7}
	for _, federal := range []bool{true, false} {
		if got := headline(s, federal)[0]; strings.Contains(got,
			"7 conflicts of a pair that no federal limit stops") != federal {
			t.Errorf("federal %t: %q", federal, got)
		}
	}
}
