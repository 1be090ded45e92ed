package published

import (
	"bytes"
	"strings"
	"testing"

	"flangeway/testdata"
)

// Every value is computed again; the tables name the source of each. One that is known to
// disagree must disagree, by what is known: a reason that is no longer needed goes.
func TestPublishedValues(t *testing.T) {
	tables, err := Recompute(bytes.NewReader(testdata.PublishedTables), bytes.NewReader(testdata.Published))
	if err != nil {
		t.Fatal(err)
	}
	ids, computed := map[string]bool{}, map[string]string{}
	known := 0
	for _, x := range tables {
		if len(x.Values) == 0 {
			t.Errorf("table %s is empty", x.ID)
		}
		if x.Standing == Derived && !strings.HasPrefix(x.Document, "computed by") {
			t.Errorf("table %s was worked out, and names %s for it", x.ID, x.Document)
		}
		for _, v := range x.Values {
			if ids[v.ID] {
				t.Errorf("%s stands twice", v.ID)
			}
			ids[v.ID] = true
			// a second book on the same frogs
			if what := string(x.Standing) + v.Computes + " " + v.Args; x.ID != "frog-angle-tratman" {
				if computed[what] != "" {
					t.Errorf("%s repeats %s", v.ID, computed[what])
				}
				computed[what] = v.ID
			}
			switch {
			case v.Known():
				known++
			case v.Because != "":
				t.Errorf("%s is known to disagree and give %s: published %s, computed %s", v.ID, v.Gives, v.Published,
					v.Computed)
			case !v.Agrees:
				t.Errorf("%s: %s: published %s, computed %s (%s, %s)", v.ID, v.What, v.Published, v.Computed,
					x.Document, x.Section)
			}
		}
	}
	if known != 3 { // Hertz at 20 degrees, twice, and a misprint of Vose
		t.Errorf("%d values are known to disagree", known)
	}
}

// A disagreement that is known stays one only as long as it is the known one.
func TestPublishedDisagreement(t *testing.T) {
	const table = "table,title,standing,document,section,seen,unit,tolerance,why\nx,x,read,a book,a page,a " +
		"copy,deg,TOL,x\n"
	const head = "table,id,what,computes,args,published,gives,because\n"
	for _, x := range []struct {
		name, tolerance, row string
		agrees, known        bool
	}{
		{"the same when rounded", "rounded", "x,a,x,frog_angle_deg,8,7.15,,", true, false},
		{"not the same when rounded", "rounded", "x,a,x,frog_angle_deg,8,7.16,,", false, false},
		{"known to differ, as it does", "rounded", "x,a,x,frog_angle_deg,8,7.16,7.153,a misprint", false, true},
		{"known to differ, and differs otherwise", "rounded", "x,a,x,frog_angle_deg,8,7.16,7.154,a misprint", false,
			false},
		{"within a share", "1%", "x,a,x,frog_angle_deg,8,7.1,,", true, false},
		{"beyond a share", "0.5%", "x,a,x,frog_angle_deg,8,7.1,,", false, false},
		{"within a difference", "0.06", "x,a,x,frog_angle_deg,8,7.1,,", true, false},
		{"beyond a difference", "0.05", "x,a,x,frog_angle_deg,8,7.1,,", false, false},
	} {
		got, err := Recompute(strings.NewReader(strings.Replace(table, "TOL", x.tolerance, 1)),
			strings.NewReader(head+x.row+"\n"))
		if err != nil {
			t.Errorf("%s: %v", x.name, err)
			continue
		}
		if v := got[0].Values[0]; v.Agrees != x.agrees || v.Known() != x.known {
			t.Errorf("%s: agrees %v, known %v (computed %s)", x.name, v.Agrees, v.Known(), v.Computed)
		}
	}
}

// The federal book condemns what each rule condemns, at its figure and next to it.
func TestLimitsAsTyped(t *testing.T) {
	limits, err := TryLimits(bytes.NewReader(testdata.Limits))
	if err != nil {
		t.Fatal(err)
	}
	for _, x := range limits {
		for _, try := range x.Tries {
			if try.Gives != try.Wants {
				t.Errorf("%s %s class %q %s %s: %s %s in is %s, the rule: %s %s", x.Rule, x.Subject, x.Class, x.CarKind,
					x.Type, x.Quantity, try.Reading, try.Gives, x.Condemns, x.Figure)
			}
		}
	}
}
