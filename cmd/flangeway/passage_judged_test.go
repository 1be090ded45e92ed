package main

import (
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"flangeway/cmd/flangeway/internal/export"
	"flangeway/internal/fixture"
)

// One judge: of every wheel at every frog and point of a small survey passage gives the verdict and the figures that
// check gives, with readings worn, fresh, one-sided and not taken.
func TestPassageAndCheckAreOneJudge(t *testing.T) {
	fixture.LeftToVolumes(t)
	dir := t.TempDir()
	for name, text := range map[string]string{
		"wheels.csv": "car,position,flange_height,flange_thickness,vertical_flange,tread_hollow,back_to_back\n" +
			"A,L1,1-3/16,1-1/8,7/8,1.0,53-1/4\nA,R1,1-1/16,1,<1,none,\n",
		"frogs.csv": "location,frog,number,type,gauge,flangeway_depth,flangeway_width,guard_check,tread_wear\n" +
			"Y,F1,8,rbm,56-1/2,1-1/4,1-7/8,54-1/2,1/8\nY,F2,,rbm,56-1/2,1-3/4,1-7/8,54-5/8,\n",
		"switches.csv": "location,switch,direction,gauge,point_gap,point_drop,point_thickness,chip_depth,chip_length,face_angle,stock_rail_wear,undercut,heel_rise\n" +
			"Y,S1,both,56-1/2,none,1/8,1/8,0.7,6,,none,none,1/4\nY,S2,both,56-1/2,1/16,1/4,,none,none,75,,none,1/4\n",
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	out, errs, code := runFor(t, "check", dir, "--all-pairs", "--format", "json", "--fail-on", "never")
	var report export.Report
	if err := json.Unmarshal([]byte(out), &report); err != nil || code != 0 {
		t.Fatalf("%v, exit code %d: %s", err, code, errs)
	}
	told, undecided := 0, 0
	positions := []string{"R1"}
	if volume() {
		positions = append(positions, "L1")
	}
	for _, position := range positions {
		for _, at := range []string{"frog/F1", "frog/F2", "switch/S1", "switch/S2"} {
			passed := passageOf(t, dir, position, at)
			judged := map[string]export.PassageJudged{}
			for _, j := range passed.Judged {
				judged[j.Check] = j
			}
			for _, f := range report.Locations[0].Findings {
				if f.Computed == nil || f.Feature != at || f.Position != position {
					continue
				}
				j, ok := judged[f.Check]
				delete(judged, f.Check)
				if !ok || j.Verdict != f.Verdict || j.Close != f.Close || j.Why != f.Computed.Why ||
					j.Unit != f.Computed.Unit || !alike(j.Margin, f.Computed.Margin) || !alike(j.Low,
					f.Computed.Low) || !alike(j.High, f.Computed.High) {
					t.Errorf("%s %s at %s: passage says %+v, check %s %+v", position, f.Check, at, j,
						f.Verdict, f.Computed)
				}
				told++
				if f.Verdict == "undecided" {
					undecided++
				}
				if f.Check == "point-climb" && f.Computed.Margin != nil && passed.LeastAngle != nil &&
					math.Abs(*passed.LeastAngle-60-*f.Computed.Margin) > 0.01 {
					t.Errorf("%s at %s: the least contact angle is %g, check has %g over 60", position, at,
						*passed.LeastAngle, *f.Computed.Margin)
				}
			}
			for check := range judged {
				t.Errorf("%s at %s: passage judges %s, check does not", position, at, check)
			}
		}
	}
	if told < 6*len(positions) || undecided == 0 {
		t.Errorf("%d verdicts compared, %d undecided: too few to tell", told, undecided)
	}
	// A reading that a flag replaces is not the survey's: check has no verdict of it.
	if p := passageOf(t, dir, "L1", "switch/S1", "--face-angle", "70"); len(p.Judged) > 0 {
		t.Errorf("with a flag for a reading: %+v", p.Judged)
	}
	page, _, _ := runFor(t, "passage", "--survey", dir, "--car", "A", "--position", "L1", "--at", "switch/S1")
	if before, after := strings.Index(page, "What check says"), strings.Index(page, "What happens"); before < 0 ||
		before > after {
		t.Error("what check says does not come first")
	}
}

func passageOf(t *testing.T, dir, position, at string, more ...string) export.Passage {
	t.Helper()
	out, errs, code := runFor(t, append([]string{"passage", "--survey", dir, "--car", "A", "--position", position,
		"--at", at, "--format", "json"}, more...)...)
	var p export.Passage
	if err := json.Unmarshal([]byte(out), &p); err != nil || code != 0 {
		t.Fatal(fmt.Sprint(err, " ", code, " ", errs))
	}
	return p
}

func alike(a, b *float64) bool {
	return a == nil && b == nil || a != nil && b != nil && math.Abs(*a-*b) < 1e-3
}
