package wheel_test

import (
	"math"
	"slices"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/measure"
	"flangeway/internal/sheet"
	"flangeway/wheel"
)

// TestWordsInAnyCase: cars and wheels read alike whatever the letters and blanks that
// people write, and however they say that nothing was measured.
func TestWordsInAnyCase(t *testing.T) {
	data := fixture.Data(t)
	fleet, problems, _ := read(t, data,
		"car,kind,owner,gross_lb,group,service,truck_centers,body,load_imbalance,warp_stiffness\n"+
			"A 1,Locomotive,PRIVATE,\"268,000\",n/a,Yard,46' 3\",SOFT,7.5,Worn\n"+
			"B 2,FREIGHT,NA,286K,N/M,N/A,na,-,n/m,\n",
		"car,position,design,flange_height,tread_hollow,turned,marks\n"+
			"A 1,l1,Narrow  Flange 1:20,N/A,NONE,2025-06-30,Edge_Flow tip_bright EDGE_FLOW\n"+
			"A 1,R1,NARROWFLANGE1:20,na,2.5,N/M,None\n"+
			"B 2,L1,N/M,1-1/8,,,\n")
	holds(t, "problems", problems, nil, "all of it is how people write")
	a, b := fleet.Car("A 1"), fleet.Car("B 2")
	if a.Kind != "locomotive" || a.Owner != "private" || a.GrossLb != 268000 || a.Service != "yard" ||
		a.Body != "soft" || a.WarpStiffness != "worn" || a.Group != "" {
		t.Errorf("car %+v", a)
	}
	if b.Kind != "freight" || b.Owner != "own" || b.GrossLb != 286000 || b.Service != "" || b.Body != "" ||
		b.WarpStiffness != "" || b.Group != "" {
		t.Errorf("car %+v", b)
	}
	if c := a.TruckCenters; c.As != 555*measure.MMPerInch || b.TruckCenters.Measured() {
		t.Errorf("truck centers %+v and %+v", c, b.TruckCenters)
	}
	if m := a.LoadImbalance; m.As != 7.5 || m.Lo != 7.45 || m.Hi != 7.55 || b.LoadImbalance.Measured() {
		t.Errorf("load imbalance %+v and %+v", m, b.LoadImbalance)
	}
	l, r, other := fleet.Wheels[0], fleet.Wheels[1], fleet.Wheels[2]
	if l.Position.String() != "L1" || l.Design != "narrow flange 1:20" || r.Design != l.Design || other.Design != "" {
		t.Errorf("designs %q at %s, %q and %q", l.Design, l.Position, r.Design, other.Design)
	}
	if l.Read(wheel.FlangeHeight).Measured() || r.Read(wheel.FlangeHeight).Measured() ||
		l.Read(wheel.TreadHollow).Form != measure.None {
		t.Error("N/A is not measured, NONE is exactly 0")
	}
	if l.Turned.String() != "2025-06-30" || r.Turned.Known() {
		t.Errorf("turned %s and %s", l.Turned, r.Turned)
	}
	if !slices.Equal(l.Marks.Seen, []string{"tip_bright", "edge_flow"}) || !l.Marks.Looked ||
		!l.Marks.Has("edge_flow") || l.Marks.Has("flat_spot") {
		t.Errorf("marks %+v", l.Marks)
	}
	if !r.Marks.Looked || len(r.Marks.Seen) > 0 || other.Marks.Looked {
		t.Errorf("none is looked at and nothing seen: %+v; blank is not looked at: %+v", r.Marks, other.Marks)
	}
}

// TestDates: a row that is of a day to come is refused, as it would be the newest reading,
// and dates in another order are one defect of their column.
func TestDates(t *testing.T) {
	data := fixture.Data(t)
	latest, err := measure.ParseDate("2026-03-31")
	if err != nil {
		t.Fatal(err)
	}
	for _, tc := range []struct {
		name, rows string
		latest     measure.Date
		want       []string
		reason     string
	}{
		{"on the day", "A,L1,2026-03-31,\n", latest, nil, "the day of the survey is no day to come"},
		{"the day after", "A,L1,2026-04-01,\n", latest,
			[]string{"wheels.csv:2:6: date: 2026-04-01 lies after 2026-03-31 ... railroad.yaml"}, "just beyond"},
		{"a mistyped year", "A,L1,2016-03-01,\nA,L1,2061-03-01,\n", latest,
			[]string{"wheels.csv:3:6: date: 2061-03-01"}, "an old row would become the newest"},
		{"no day is the latest", "A,L1,2061-03-01,\n", 0, nil, "whoever reads without a survey's date asks nothing"},
		{"turned in days to come", "A,L1,2026-03-01,2026-04-01\n", latest,
			[]string{"wheels.csv:2:17: turned: 2026-04-01 lies after"}, "nothing was turned then"},
		{"US dates", "A,L1,3/28/2026,\nA,R1,03/04/2026,12/31/2025\nA,L2,2026-03-01,\nA,R2,3-1-26,\n", latest,
			[]string{`wheels.csv:2:6: date: 3 rows hold dates in US order, such as "3/28/2026" (2026-03-28 for it: YYYY-MM-DD`, `wheels.csv:3:17: turned: 1 row holds a date in US order, such as "12/31/2025" (2025-12-31`}, "one defect a column"},
		{"the day first", "A,L1,28/3/2026,\nA,R1,4/3/2026,\n", latest,
			[]string{`wheels.csv:2:6: date: 2 rows hold dates with the day first, such as "28/3/2026" (2026-03-28`},
			"no month 28"},
		{"dots", "A,L1,4.3.2026,\n", latest, []string{`wheels.csv:2:6: date: 1 row holds a date with the day first, such as "4.3.2026" (2026-03-04`}, "written so where the day comes first"},
		{"two orders", "A,L1,28/3/2026,\nA,R1,3/28/2026,\n", latest,
			[]string{`wheels.csv:2:6: date: 2 rows hold dates in two orders`}, "neither order reads both"},
		{"no date in any order", "A,L1,13/13/2026,\nA,R1,March,\n", latest,
			[]string{`wheels.csv:2:6: date: "13/13/2026" is not a date`, `wheels.csv:3:6: date: "March"`},
			"nothing to rewrite"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var ps measure.Problems
			in := wheel.Sheets{Wheels: sheet.CSV("wheels.csv", []byte("car,position,date,turned\n"+tc.rows)),
				Frame: sheet.Frame{Latest: tc.latest}}
			wheel.Read(in, data.Columns, data, &ps)
			holds(t, "problems", problemsOf(&ps), tc.want, tc.reason)
		})
	}
}

// TestNarrowFlange: a notch that says "thicker" ends at the thickest narrow flange where
// the wheel has one, by its design or by the back-to-back of its axle as written.
func TestNarrowFlange(t *testing.T) {
	data := fixture.Data(t)
	const wide, narrow = 1.4375, 1.21875
	for _, tc := range []struct {
		name, design, thickness, left, right string
		hi                                   float64 // in
		reason                               string
	}{
		{"nothing known", "", ">15/16", "", "", wide, "any flange"},
		{"narrow design", "narrow flange 1:20", ">15/16", "", "", narrow, "the design says so"},
		{"wide design", "wide flange 1:20", ">15/16", "53-1/16", "", wide, "the design says so"},
		{"axle over 53-1/4", "", ">15/16", "53-5/16", "", narrow, "no room for wide ones"},
		{"axle over 53-1/4 on the other row", "", ">15/16", "", "53-5/16", narrow, "either row of the axle"},
		{"wide design, axle over 53-1/4", "wide flange 1:20", ">15/16", "53-5/16", "", narrow, "either is enough"},
		{"axle at 53-1/4", "", ">15/16", "53-1/4", "", wide, "not over, as written"},
		{"just over", "", ">15/16", "53.251", "", narrow, "just over"},
		{"a range about 53-1/4", "", ">15/16", "53-3/16..53-3/8", "", narrow, "its middle is 53-9/32"},
		{"a range below it", "", ">15/16", "53-1/16..53-3/8", "", wide, "its middle is 53-7/32"},
		{"full 53-1/4", "", ">15/16", "53-1/4+", "", narrow, "its middle is 53-9/32"},
		{"at least 53-3/8", "", ">15/16", ">=53-3/8", "", narrow, "all it can be is over"},
		{"at least 53-1/4", "", ">15/16", ">53-1/4", "", wide, "> is like >=, so it can be 53-1/4"},
		{"at most 53-1/2", "", ">15/16", "<53-1/2", "", wide, "it can be anything below"},
		{"step beyond the narrow ones", "narrow flange 1:20", ">=1-1/4", "", "", 1.25, "ends at the step as written"},
		{"a thickness that was read", "narrow flange 1:20", "1-3/8", "", "", 1.40625, "what was read stands"},
		{"a range that was read", "narrow flange 1:20", "1-1/4..1-3/8", "", "", 1.40625, "what was read stands"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			sheet := "car,position,design,flange_thickness,back_to_back\nA,L1," + tc.design + "," + tc.thickness + "," +
				tc.left + "\nA,R1,,," + tc.right + "\n"
			fleet, problems, _ := read(t, data, "", sheet)
			holds(t, "problems", problems, nil, tc.reason)
			if got := fleet.Wheels[0].Read(wheel.FlangeThickness).Hi / measure.MMPerInch; math.Abs(got-tc.hi) > 1e-9 {
				t.Errorf("%s ends at %g, want %g; %s", tc.thickness, got, tc.hi, tc.reason)
			}
		})
	}
	fleet, _, _ := read(t, data, "", "car,position,flange_thickness,back_to_back\nA,L1,>15/16,53\nA,R1,,\n")
	axle := fleet.Wheels[0].Axle().Clone()
	axle.L.Set(wheel.BackToBack, measure.Exact(53.375*measure.MMPerInch, "53-3/8"))
	if got := axle.L.Read(wheel.FlangeThickness).Hi / measure.MMPerInch; got != narrow {
		t.Errorf("pressed to 53-3/8 it ends at %g, want %g", got, narrow)
	}
	if got := fleet.Wheels[0].Read(wheel.FlangeThickness).Hi / measure.MMPerInch; got != wide {
		t.Errorf("before it ended at %g, want %g", got, wide)
	}
}
