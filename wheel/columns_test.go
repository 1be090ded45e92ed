package wheel_test

import (
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
	if a.Kind != "locomotive" || a.Owner != "private" || a.GrossLb != 268000 || a.Service != "yard" || a.Body != "soft" || a.WarpStiffness != "worn" || a.Group != "" {
		t.Errorf("car %+v", a)
	}
	if b.Kind != "freight" || b.Owner != "own" || b.GrossLb != 286000 || b.Service != "" || b.Body != "" || b.WarpStiffness != "" || b.Group != "" {
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
	if l.Read(wheel.FlangeHeight).Measured() || r.Read(wheel.FlangeHeight).Measured() || l.Read(wheel.TreadHollow).Form != measure.None {
		t.Error("N/A is not measured, NONE is exactly 0")
	}
	if l.Turned.String() != "2025-06-30" || r.Turned.Known() {
		t.Errorf("turned %s and %s", l.Turned, r.Turned)
	}
	if !slices.Equal(l.Marks.Seen, []string{"tip_bright", "edge_flow"}) || !l.Marks.Looked || !l.Marks.Has("edge_flow") || l.Marks.Has("flat_spot") {
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
		{"the day after", "A,L1,2026-04-01,\n", latest, []string{"wheels.csv:2:6: date: 2026-04-01 lies after 2026-03-31 ... railroad.yaml"}, "just beyond"},
		{"a mistyped year", "A,L1,2016-03-01,\nA,L1,2061-03-01,\n", latest, []string{"wheels.csv:3:6: date: 2061-03-01"}, "an old row would become the newest"},
		{"no day is the latest", "A,L1,2061-03-01,\n", 0, nil, "whoever reads without a survey's date asks nothing"},
		{"turned in days to come", "A,L1,2026-03-01,2026-04-01\n", latest, []string{"wheels.csv:2:17: turned: 2026-04-01 lies after"}, "nothing was turned then"},
		{"US dates", "A,L1,3/28/2026,\nA,R1,03/04/2026,12/31/2025\nA,L2,2026-03-01,\nA,R2,3-1-26,\n", latest,
			[]string{`wheels.csv:2:6: date: 3 rows hold dates in US order, such as "3/28/2026" (2026-03-28 for it: YYYY-MM-DD`, `wheels.csv:3:17: turned: 1 row holds a date in US order, such as "12/31/2025" (2025-12-31`}, "one defect a column"},
		{"the day first", "A,L1,28/3/2026,\nA,R1,4/3/2026,\n", latest, []string{`wheels.csv:2:6: date: 2 rows hold dates with the day first, such as "28/3/2026" (2026-03-28`}, "no month 28"},
		{"dots", "A,L1,4.3.2026,\n", latest, []string{`wheels.csv:2:6: date: 1 row holds a date with the day first, such as "4.3.2026" (2026-03-04`}, "written so where the day comes first"},
		{"two orders", "A,L1,28/3/2026,\nA,R1,3/28/2026,\n", latest, []string{`wheels.csv:2:6: date: 2 rows hold dates in two orders`}, "neither order reads both"},
		{"no date in any order", "A,L1,13/13/2026,\nA,R1,March,\n", latest, []string{`wheels.csv:2:6: date: "13/13/2026" is not a date`, `wheels.csv:3:6: date: "March"`}, "nothing to rewrite"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var ps measure.Problems
			in := wheel.Sheets{Wheels: sheet.CSV("wheels.csv", []byte("car,position,date,turned\n"+tc.rows)), Frame: sheet.Frame{Latest: tc.latest}}
			wheel.Read(in, data.Columns, data, &ps)
			holds(t, "problems", problemLines(&ps), tc.want, tc.reason)
		})
	}
}
