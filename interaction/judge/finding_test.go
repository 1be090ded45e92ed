package judge_test

import (
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
)

// What a go/no-go gauge leaves open is no measure of any work.
func TestFixesOfGoNoGoReadings(t *testing.T) {
	for _, tt := range []struct {
		name, height, depth string
		verdict             interaction.Verdict
		track, wheel, note  string
		reason              string
	}{
		{"touched, open above", ">1-1/2", "1-1/2", interaction.Undecided, "read flange_height as a figure first",
			"read flange_height as a figure first", "",
			"it may be as high as the column's bound, and no frog is built for that"},
		{"did not touch, closed above", "<1-1/2", "1-1/2", interaction.Undecided,
			"a flangeway depth of 1-5/8 in or more", "", "",
			"at most 1-17/32 with the step's error; the depth has 1/32 too, and a reserve"},
		{"touched, and strikes whatever it is", ">1-1/2", "1-1/4", interaction.Conflict,
			"a flangeway depth of 1-1/2 in or more", "a flange height of 1-1/4 in or less", "the least that is needed",
			"the least the reading leaves strikes by 3/16 in with the errors of both"},
		{"a figure", "1-9/16", "1-3/8", interaction.Conflict, "a flangeway depth of 1-11/16 in or more",
			"a flange height of 1-1/4 in or less", "",
			"3/16 in short, 1/16 of errors, and a reserve"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			sv := sheets{files: map[string]string{
				"wheels.csv": "car,position,flange_height\nA 1,L1," + tt.height + "\nA 1,R1,1\n",
				"frogs.csv":  "location,frog,flangeway_depth\nyard,F1," + tt.depth + "\n",
			}}.read(t, fixture.Data(t))
			f, ok := byPair(t, judgeAll(t, sv, interaction.Options{}).all)["frog-floor frog/F1 A 1 L1"]
			if !ok {
				t.Fatal("there is no pair")
			}
			notes := strings.Join(f.Notes, "; ")
			if f.Verdict != tt.verdict || !strings.Contains(strings.Join(f.FixTrack, "; "), tt.track) ||
				!strings.Contains(strings.Join(f.FixWheel, "; "), tt.wheel) ||
				!strings.Contains(notes, tt.note) || tt.note == "" && strings.Contains(notes, "go/no-go") {
				t.Errorf("%s, %q, %q, %q; %s", f.Verdict, f.FixTrack, f.FixWheel, f.Notes, tt.reason)
			}
		})
	}
}

// Neither is the blow of a flange that a gauge touched: it is at least that of the
// gauge's step, not that of the highest flange there can be.
func TestBlowOfGoNoGoReadings(t *testing.T) {
	for _, tt := range []struct{ name, height, want, reason string }{
		{"touched", ">1-1/2", "at the least the flange bears by", "the reading is open above"},
		{"did not touch", "<1-1/2", "at the worst end of the readings the flange bears by",
			"the reading is closed above"},
		{"a figure", "1-1/2", "as written the flange bears by", "the value itself"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			in := passingSurvey(t, "flange_height "+tt.height, "flangeway_depth 1-1/8", nil)
			var f *judge.Finding
			for key, x := range computedPairs(t, in) {
				if strings.HasPrefix(key, "frog-floor ") && x.Wheel.Position.Side == 'L' {
					f = x
				}
			}
			if f == nil {
				t.Fatal("there is no pair")
			}
			if f.Computed == nil || !strings.Contains(f.Computed.Why, tt.want) {
				t.Errorf("%+v does not hold %q: %s", f.Computed, tt.want, tt.reason)
			}
		})
	}
}
