package track_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"strconv"
	"strings"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/testdata"
	"flangeway/track"
)

func federal(t *testing.T) *limit.Book {
	t.Helper()
	b, problems := limit.Overlay(fixture.Data(t).Sets["federal"])
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	return b
}

// verdictOf is what a rule says of a feature; "" if it does not judge it.
func verdictOf(b *limit.Book, f *track.Feature, rule string) limit.Verdict {
	for _, j := range b.Judge(f.Subject()) {
		if j.Rule.ID == rule {
			return j.Verdict
		}
	}
	return ""
}

// Every cell of Appendix A Table 1 (27 degrees by 13 elevations, as printed): the speed is
// that of the curve, is never beyond 213.57(c), and one mile per hour more always is.
func TestCurveSpeedTable(t *testing.T) {
	r := csv.NewReader(bytes.NewReader(testdata.Published))
	r.Comment, r.FieldsPerRecord = '#', -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	b, cells := federal(t), 0
	for _, row := range rows {
		if row[0] != "curve-speed" {
			continue
		}
		cells++
		var ea, eu, d float64
		if _, err := fmt.Sscan(row[4], &ea, &eu, &d); err != nil || eu != 3 {
			t.Fatalf("%v: %v", row, err)
		}
		printed, err := strconv.Atoi(row[5])
		if err != nil {
			t.Fatal(err)
		}
		f := track.New(track.Curve, "here", "C1", map[track.Quantity]measure.Reading{
			track.Degree: measure.Exact(d, row[4]), track.Elevation: measure.Exact(ea*measure.MMPerInch,
				measure.Inch(ea*measure.MMPerInch))})
		if v, ok := f.CurveSpeed(); !ok || v != printed {
			t.Errorf("%s: curve speed %d, the table prints %d", row[2], v, printed)
		}
		f.SpeedKnown = true
		for class := range 5 {
			f.Class = strconv.Itoa(class + 1)
			for over, want := range []limit.Verdict{limit.Within, limit.Beyond} {
				f.Speed = float64(printed + over)
				if got := verdictOf(b, f, "213.57(c)"); got != want {
					t.Errorf("%s, class %s: %g mph is %q, want %s", row[2], f.Class, f.Speed, got, want)
				}
			}
		}
		f.Class, f.Speed = "excepted", 10
		if got := verdictOf(b, f, "213.57(c)"); got != "" {
			t.Errorf("%s: excepted track is judged: %s", row[2], got)
		}
	}
	if cells != 27*13 {
		t.Errorf("%d cells, the table has %d", cells, 27*13)
	}
}

// The curve speed that is printed and the judgement never disagree, in the table and
// between its cells, and what was not read is not judged.
func TestCurveSpeedAgreesWithTheJudgement(t *testing.T) {
	b := federal(t)
	for d := 0.3; d < 20; d += 0.37 {
		for ea := -3.5; ea < 8; ea += 0.41 {
			f := track.New(track.Curve, "here", "C1", map[track.Quantity]measure.Reading{
				track.Degree: measure.Exact(d, "d"), track.Elevation: measure.Exact(ea*measure.MMPerInch, "ea")})
			f.Class, f.SpeedKnown = "5", true
			v, ok := f.CurveSpeed()
			if !ok {
				t.Fatalf("no curve speed for %g degrees and %g in", d, ea)
			}
			for _, x := range []struct {
				speed int
				want  limit.Verdict
			}{{v, limit.Within}, {v + 1, limit.Beyond}} {
				f.Speed = float64(x.speed)
				if got := verdictOf(b, f, "213.57(c)"); got != x.want {
					t.Errorf("%g degrees, %g in: %d mph is %s where the curve speed is %d", d, ea, x.speed, got, v)
				}
			}
		}
	}
	for _, missing := range []track.Quantity{track.Degree, track.Elevation} {
		all := map[track.Quantity]measure.Reading{track.Degree: measure.Exact(6, "6"),
			track.Elevation: measure.Exact(0, "0")}
		delete(all, missing)
		f := track.New(track.Curve, "here", "C1", all)
		f.Class, f.Speed, f.SpeedKnown = "1", 60, true
		if got := verdictOf(b, f, "213.57(c)"); got != limit.NotMeasured {
			t.Errorf("without %s the speed is %s", missing, got)
		}
	}
}

// 213.63 speaks of points less than 62 ft apart: a warp that was read over more says nothing of them, whatever it is.
func TestWarpOverMoreThan62Feet(t *testing.T) {
	b := federal(t)
	for _, tt := range []struct {
		name   string
		kind   track.Kind
		inches float64
		over   float64
		want   limit.Verdict
	}{
		{"at 62 ft, beyond", track.Spot, 3.25, 62, limit.Beyond},
		{"at 31 ft, beyond", track.Spot, 3.25, 31, limit.Beyond},
		{"at 62 ft, the figure", track.Spot, 3, 62, limit.Within},
		{"at 63 ft", track.Spot, 3.25, 63, limit.NotMeasured},
		{"curve at 80 ft", track.Curve, 5, 80, limit.NotMeasured},
		{"curve at 62 ft", track.Curve, 5, 62, limit.Beyond},
	} {
		t.Run(tt.name, func(t *testing.T) {
			f := track.New(tt.kind, "here", "X1",
				map[track.Quantity]measure.Reading{track.Warp: measure.Exact(tt.inches*measure.MMPerInch, "w")})
			f.Class, f.WarpOverFt = "1", tt.over
			if got := verdictOf(b, f, "213.63(a)-warp-class1-"+tt.kind.String()); got != tt.want {
				t.Errorf("%s, want %s", got, tt.want)
			}
		})
	}
}

// Where the least elevation was read and would set a lower speed, 213.59, the speed between
// the two straddles, and the line says why; the curve speed stays that of the full body.
func TestLeastElevationIsSaidWithTheCurveSpeed(t *testing.T) {
	b := federal(t)
	for _, tt := range []struct {
		name        string
		least       float64
		speed       float64
		want        limit.Verdict
		says, other string
	}{
		{"at the speed of the least", 1, 28, limit.Within, "28 mph", "beyond neither"},
		{"between the two", 1, 31, limit.Straddles, "213.59", "runoff in the curve would lower it"},
		{"above both", 1, 40, limit.Beyond, "213.59", "beyond at the full elevation"},
		{"the same as the body", 4, 37, limit.Within, "37 mph", "nothing is lower"},
	} {
		f := track.New(track.Curve, "here", "C1", map[track.Quantity]measure.Reading{
			track.Degree: measure.Exact(7, "7"), track.Elevation: measure.Exact(4*measure.MMPerInch, "4"),
			track.CrosslevelLeast: measure.Exact(tt.least*measure.MMPerInch, measure.Inch(tt.least*measure.MMPerInch))})
		f.Class, f.Speed, f.SpeedKnown = "3", tt.speed, true
		if v, _ := f.CurveSpeed(); v != 38 {
			t.Fatalf("curve speed %d: Table 1 prints 38 for 7 degrees and 4 in", v)
		}
		for _, j := range b.Judge(f.Subject()) {
			if j.Rule.ID == "213.57(c)" && (j.Verdict != tt.want || !strings.Contains(j.Reading.Written, tt.says)) {
				t.Errorf("%s: %s, %q; want %s and %q (%s)", tt.name, j.Verdict, j.Reading.Written, tt.want,
					tt.says, tt.other)
			}
		}
	}
}

// A difference within 10 ft is one within the distance of warp too, where that is 10 ft or
// more: greater than warp, the two contradict each other.
func TestWarpShortContradictsWarp(t *testing.T) {
	for _, tt := range []struct {
		name   string
		short  float64
		over   float64
		want   bool
		reason string
	}{
		{"less", 0.75, 62, false, "as it must be"},
		{"the same", 1, 62, false, "both may be at one place"},
		{"more", 1.25, 62, true, "warp would have been at least as great"},
		{"more, over 10 ft", 1.25, 10, true, "10 ft are within 10 ft"},
		{"more, over 8 ft", 1.25, 8, false, "10 ft apart is further than 8"},
	} {
		f := track.New(track.Spot, "here", "G1", map[track.Quantity]measure.Reading{
			track.Warp:      measure.Exact(measure.MMPerInch, "1"),
			track.WarpShort: measure.Exact(tt.short*measure.MMPerInch, "short")})
		f.WarpOverFt = tt.over
		f = f.With(track.WarpShort, f.Read(track.WarpShort))
		if got := f.Contradicted(track.WarpShort); got != tt.want {
			t.Errorf("%s: %v, want %v: %s", tt.name, got, tt.want, tt.reason)
		}
	}
}
