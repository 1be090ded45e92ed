package export

import (
	"encoding/json"
	"testing"
)

// A report of an earlier version, whose risk is words, can still be compared with.
func TestRiskOfEarlierReports(t *testing.T) {
	for text, want := range map[string]Risk{
		`{"rank":2,"of":5,"reason":"every pair is clear","not_known":0}`: {Rank: 2, Of: 5,
			Reason: "every pair is clear"},
		`"Medium: frog-floor; worst there: conflict: frog"`: {Reason: "Medium: frog-floor; worst there: conflict: frog"},
	} {
		var r Risk
		if err := json.Unmarshal([]byte(text), &r); err != nil || r != want {
			t.Errorf("%s: %+v, %v, want %+v", text, r, err, want)
		}
	}
	if json.Unmarshal([]byte(`[1]`), new(Risk)) == nil {
		t.Error("a list is taken for a risk")
	}
}
