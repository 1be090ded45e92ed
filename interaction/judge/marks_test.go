package judge_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/interaction/judge"
	"flangeway/internal/fixture"
	"flangeway/track"
	"flangeway/wheel"
)

// withMarks is a copy of a survey in which marks and conditions are drawn.
func (d drawn) withMarks(r *rand.Rand) drawn {
	out := d.change("", func(s string) string { return s })
	any := func(words []string) string {
		var seen []string
		for _, w := range words {
			if r.IntN(3) == 0 {
				seen = append(seen, w)
			}
		}
		if len(seen) == 0 {
			return []string{"", "none"}[r.IntN(2)]
		}
		return strings.Join(seen, " ")
	}
	for _, w := range out.rows["wheels.csv"] {
		w["marks"] = any(wheel.Marks())
	}
	for k := range track.NumKinds {
		for _, f := range out.rows[k.File()] {
			f["marks"] = any(k.Marks())
			if k == track.Switch {
				f["condition"] = []string{"", "good", "worn", "poor"}[r.IntN(4)]
			}
		}
	}
	return out
}

// TestMarksMakeNothingBetter: what was seen takes a clear pair back to undecided and changes nothing else; under
// --plain it changes nothing at all.
func TestMarksMakeNothingBetter(t *testing.T) {
	fixture.LeftToVolumes(t)
	t.Parallel()
	data := fixture.Data(t)
	j := newYardJudge(t, data)
	j.next()
	acted := map[string]bool{}
	for seed := range fixture.Drawn(1, 6) {
		r := rand.New(rand.NewPCG(seed, 1871))
		d := draw(data, r)
		delete(d.rows, "curves.csv") // its trucks take long; TestEachMark has them
		before := j.verdicts(d.sheets().read(t, data), everything)
		plainly := d.judge(t, data, interaction.Options{})
		for range 3 {
			marked := d.withMarks(r)
			after := j.verdicts(marked.sheets().read(t, data), everything)
			for key, f := range marked.judge(t, data, interaction.Options{}) {
				if plainly[key].Verdict != f.Verdict {
					t.Errorf("seed %d: %s is %s by the plain rule, and %s with marks", seed, key, plainly[key].Verdict,
						f.Verdict)
				}
			}
			for key, f := range before {
				switch g := after[key]; {
				case g.Verdict == f.Verdict:
				case f.Verdict == clears && g.Verdict == undecided:
					acted[f.check.ID] = true
				default:
					t.Errorf("seed %d: %s is %s, and %s with marks", seed, key, f.Verdict, g.Verdict)
				}
			}
		}
	}
	if len(acted) < int(fixture.Drawn(1, 8)) {
		t.Errorf("marks told against pairs of these checks alone: %v", acted)
	}
}

// TestEachMark: every mark takes back the clear pairs of the checks that it bears on, and those of no other.
func TestEachMark(t *testing.T) {
	t.Parallel()
	data := fixture.Data(t)
	j := newYardJudge(t, data)
	j.next()
	judged := func(file, column, word string) map[string]pairVerdict {
		d := smallRailroad(false)
		for _, r := range d.rows[file] {
			r[column] = word
		}
		return j.verdicts(d.sheets().read(t, data), everything)
	}
	before := judged("", "", "")
	for _, m := range interaction.Marks() {
		at := []string{"wheels.csv"}
		if !m.OfWheel() {
			at = nil
			for _, k := range m.At {
				at = append(at, k.File())
			}
		}
		bears := map[string]bool{}
		for _, b := range m.Bears {
			bears[b.Check] = true
		}
		for _, file := range at {
			open := 0
			for key, g := range judged(file, m.Column, m.Word) {
				f := before[key]
				switch {
				case g.Verdict == f.Verdict:
				case !bears[f.check.ID] || f.Verdict != clears || g.Verdict != undecided:
					t.Errorf("%s: %s is %s, and was %s", m.Word, key, g.Verdict, f.Verdict)
				default:
					open++
				}
			}
			if only := m.Word == "flat_spot" || m.Word == "worn"; open == 0 && !only { // these act on close pairs
				t.Errorf("%s in %s tells against no pair", m.Word, file)
			}
		}
	}
}

// TestMarksAreExplained: a finding says what was seen, what answers it and what the plain rule gives, measures no
// repair, and says of a conflict that left no mark that the two contradict each other.
func TestMarksAreExplained(t *testing.T) {
	t.Parallel()
	d := smallRailroad(false)
	d.rows = map[string][]row{"cars.csv": d.rows["cars.csv"], "wheels.csv": d.rows["wheels.csv"],
		"frogs.csv": d.rows["frogs.csv"], "joints.csv": d.rows["joints.csv"]}
	d.rows["frogs.csv"][0]["marks"] = "floor_bright"
	d.rows["joints.csv"][0]["marks"], d.rows["joints.csv"][0]["bar_depth"] = "none", "1/2"
	d.rows["wheels.csv"][0]["marks"] = "tip_bright"
	found := computedPairs(t, d.sheets())
	both, one := found["frog-floor frog/X1 FWR 1 L1"], found["frog-floor frog/X1 FWR 1 R1"]
	for _, c := range []struct {
		f      *judge.Finding
		settle string
		seen   []string
	}{{both, "flange_height and flangeway_depth", []string{"floor_bright", "tip_bright"}},
		{one, "flangeway_depth", []string{"floor_bright"}}} {
		var seen []string
		for _, v := range c.f.Evidence {
			seen = append(seen, v.Word)
		}
		if c.f.Verdict != undecided || !c.f.Unmarked() || c.f.Plain != clears || !slices.Equal(seen, c.seen) ||
			strings.Join(c.f.SettleBy(), "; ") != c.settle || len(c.f.FixTrack)+len(c.f.FixWheel) > 0 {
			t.Errorf("%s %s: %s, plain %s, seen %v, settled by %v, fixes %v %v", c.f.Wheel.Position, c.f.Check.ID,
				c.f.Verdict,
				c.f.Plain, seen, c.f.SettleBy(), c.f.FixTrack, c.f.FixWheel)
		}
	}
	bar := found["joint-bar joint/X1 FWR 1 R1"]
	if bar.Verdict != conflict || len(bar.Evidence) != 1 || bar.Evidence[0].Passes < 1000 || bar.Unmarked() ||
		!slices.ContainsFunc(bar.Notes, func(s string) bool {
			return strings.HasPrefix(s,
				"contradicted by marks none")
		}) {
		t.Errorf("a bar that is struck and not shaved: %s, %+v, %v", bar.Verdict, bar.Evidence, bar.Notes)
	}
}
