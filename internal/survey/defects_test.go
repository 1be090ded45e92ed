package survey

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"flangeway/internal/measure"
)

const defectsHead = "where,location,rule,quantity,found,opened,remedy,due,protected,closed,closed_by,note\n"

// TestDefectsAreReadBack: what is written is read again as it was, names that a spreadsheet would calculate too.
func TestDefectsAreReadBack(t *testing.T) {
	d := func(s string) measure.Date {
		v, err := measure.ParseDate(s)
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	want := []Logged{
		{Where: "frog/F4", Location: "=lead", Rule: "213.143(a)-check-class1", Quantity: "guard_check", Found: "54",
			Opened: d("2026-10-01"), Remedy: "move the guard rail, with care", Due: d("2026-10-31"),
			Protected: "slow order 12"},
		{Where: "wheel/UP 1 L2", Rule: "215.103(a)",
			Quantity: "flange_thickness", Found: ">7/8", Opened: d("2026-10-02"), Closed: d("2026-10-09"),
			ClosedBy: "flange_thickness 1-1/8 of 2026-10-09", Note: "-"},
	}
	want[1].Note = ""
	data, err := WriteDefects(want)
	if err != nil {
		t.Fatal(err)
	}
	got, err := ReadDefects(DefectsFile, data, d("2026-10-31"))
	if err != nil {
		t.Fatal(err)
	}
	for i := range got {
		got[i].Place, got[i].ClosedAt = measure.Place{}, measure.Place{}
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// TestDefectsByHand: what a hand may change is taken, what contradicts itself is refused with the place.
func TestDefectsByHand(t *testing.T) {
	latest, _ := measure.ParseDate("2026-10-31")
	for text, want := range map[string]string{
		"frog/F4,,r,,54,2026-10-01,weld it ourselves,,boards stand,,,asked twice\n": "",
		"where,rule,opened\nfrog/F4,r,2026-10-01\n":                                 "",
		"frog/F4,,r,,54,,,,,,,\n":                                                   "defects.csv:2:16: opened: the day is missing",
		"frog/F4,,r,,54,2026-11-01,,,,,,\n":                                         "defects.csv:2:16: opened: 2026-11-01 lies after",
		"frog/F4,,r,,54,2026-10-01,,2026-09-01,,,,\n":                               "defects.csv:2:28: due: 2026-09-01 lies before it",
		"frog/F4,,r,,54,2026-10-01,,,,2026-10-05,,\n":                               "not by a tick",
		"frog/F4,,r,,54,2026-10-01,,,,,gauge 56-1/2,\n":                             "a reading without its day",
		"frog/F4,,r,,54,2026-10-01,,,,2026-10-01,x,\n":                              "is no day after it was opened",
		"F4,,r,,54,2026-10-01,,,,,,\n":                                              "is no place, wheel or axle",
		"frog/F4,,,,54,2026-10-01,,,,,,\n":                                          "rule",
		"frog/F4,,r,,54,10/01/2026,,,,,,\n":                                         "defects.csv:2:16: opened",
		"frog/F4,,r,,54,2026-10-01,,,,,,\nfrog/F4,,r,,54,2026-10-02,,,,,,\n":        "is open for rule r twice",
		"where,rule,opend\nfrog/F4,r,2026-10-01\n":                                  "did you mean",
		"location\nyard\n":                                                          "the column is missing",
	} {
		data := text
		if !strings.Contains(text, "where") && !strings.HasPrefix(text, "location") {
			data = defectsHead + text
		}
		_, err := ReadDefects(DefectsFile, []byte(data), latest)
		got := ""
		if err != nil {
			got = err.Error()
		}
		if want == "" && got != "" || !strings.Contains(got, want) || strings.Count(got, "opened: ") > 1 {
			t.Errorf("%q: %q, want %q", text, got, want)
		}
	}
}

// FuzzDefects: any bytes as defects.csv give rows or problems at places, never a panic; what is read is written and
// read again alike.
func FuzzDefects(f *testing.F) {
	for _, s := range []string{defectsHead + "frog/F4,lead,213.143(a),guard_check,54,2026-10-01,move " +
		"it,2026-10-31,,,,\n", defectsHead + "wheel/UP 1 L2,,r,,\">7/8\",2026-10-01,,,,2026-10-05,\"flange, thick\",\n",
		"where\n;\n", "rule,opened\n", defectsHead + "axle/'=1 2,,r,,,2026-10-01,,,'=boards,,,'-\n",
		"\ufeffwhere,rule,opened\r\nspot/1,r,2026-10-01\r\n"} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		if len(b) > 1<<16 {
			t.Skip("large input is the scanner's own fuzzing")
		}
		rows, err := ReadDefects(DefectsFile, b, 0)
		if err != nil {
			return
		}
		data, err := WriteDefects(rows)
		if err != nil {
			t.Fatal(err)
		}
		again, err := ReadDefects(DefectsFile, data, 0)
		if err != nil {
			t.Fatalf("%q is not read again: %v", data, err)
		}
		for i := range again {
			rows[i].Place, again[i].Place = measure.Place{}, measure.Place{}
			rows[i].ClosedAt, again[i].ClosedAt = measure.Place{}, measure.Place{}
		}
		if diff := cmp.Diff(rows, again); diff != "" {
			t.Fatalf("%q: %s", data, diff)
		}
	})
}
