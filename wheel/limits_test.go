package wheel_test

import (
	"slices"
	"testing"

	"flangeway/internal/fixture"
	"flangeway/internal/limit"
)

// What the interchange set says of wheels whose size or flange is not named: no wear and
// no wider set makes a warning go away.
func TestInterchangeOfUnnamedWheels(t *testing.T) {
	data := fixture.Data(t)
	b, problems := limit.Overlay(data.Sets["interchange"])
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	for _, tt := range []struct {
		name, row, rule string
		want            limit.Verdict // "" where no rule judges it as such
		reason          string
	}{
		{"36 in, thin rim", "36,13/16,53,1-1/8,", "interchange-rim-thickness-36", limit.Beyond, "7/8 for 36 in"},
		{"36 in turned", "33-1/2,13/16,53,1-1/8,", "interchange-rim-thickness-36", limit.Beyond,
			"may have been a wheel of 36 in"},
		{"36 in turned further", "33-1/4,13/16,53,1-1/8,", "interchange-rim-thickness-36", limit.Beyond,
			"no wheel of 33 in tapes more when its rim is worn so far"},
		{"36 in of a thick rim turned as far as it goes", "32-1/2,13/16,53,1-1/8,", "interchange-rim-thickness-36",
			limit.Beyond, "2-1/2 in of rim less 3/4 is 3-1/2 in of diameter"},
		{"less than any wheel of 36 in", "32-7/16,13/16,53,1-1/8,", "interchange-rim-thickness-36", limit.Within,
			"a wheel of 33 in"},
		{"33 in in millimetres", "838mm,13/16,53,1-1/8,", "interchange-rim-thickness-36", limit.Within,
			"3/4 for 33 in, 838.2 mm"},
		{"36 in at 7/8", "36,7/8,53,1-1/8,", "interchange-rim-thickness-36", limit.Beyond, "worn down to 7/8"},
		{"36 in above 7/8", "36,29/32,53,1-1/8,", "interchange-rim-thickness-36", limit.Within, "above 7/8"},
		{"33 in", "33,13/16,53,1-1/8,", "interchange-rim-thickness-36", limit.Within, "3/4 for 33 in"},
		{"38 in worn", "35-1/2,13/16,53,1-1/8,", "interchange-rim-thickness-36", limit.Beyond, "36 or 38 in"},
		{"28 in", "28,13/16,53,1-1/8,", "interchange-rim-thickness-28", limit.Beyond, "7/8 for 28 in"},
		{"size not read", "n/m,13/16,53,1-1/8,", "interchange-rim-thickness-36", limit.Beyond, "taken as 36 in"},
		{"at the wide figure", "33,1,53-3/16,1-1/8,", "interchange-back-to-back-most", limit.Straddles,
			"the most of wide flanges"},
		{"wider, unnamed", "33,1,53-1/4,1-1/8,", "interchange-back-to-back-most", limit.Unsure,
			"a worn wide flange or a narrow one"},
		{"wider still, thickness not read", "33,1,53-3/8,n/m,", "interchange-back-to-back-most", limit.Unsure,
			"no less judged than 53-1/4"},
		{"wider still, could be wide", "33,1,53-3/8,1-1/4,", "interchange-back-to-back-most", limit.Unsure,
			"1-1/4 less 1/32 is a narrow one"},
		{"wider still, thick", "33,1,53-3/8,1-5/16,", "interchange-back-to-back-most", limit.Beyond,
			"no narrow flange is so thick"},
		{"a new narrow set", "33,1,53-3/8,1-5/32,", "interchange-back-to-back-most", "",
			"no thicker than a narrow flange"},
		{"named wide", "33,1,53-3/8,1-5/32,wide flange 1:20", "interchange-back-to-back-most", limit.Beyond,
			"as its design says"},
		{"named narrow", "33,1,53-3/8,n/m,narrow flange 1:20", "interchange-back-to-back-most", "",
			"as its design says"},
	} {
		fleet, bad, _ := read(t, data, "car,kind\nA,freight\n",
			"car,position,diameter,rim_thickness,back_to_back,flange_thickness,design\nA,L1,"+tt.row+"\n")
		if len(bad) > 0 {
			t.Fatalf("%s: %v", tt.name, bad)
		}
		a := fleet.Cars[0].AxleList[0]
		all := append(b.Judge(a.L.Subject()), b.Judge(a.Subject())...)
		at := slices.IndexFunc(all, func(j limit.Judgement) bool { return j.Rule.ID == tt.rule })
		var got limit.Verdict
		if at >= 0 {
			got = all[at].Verdict
		}
		if got != tt.want {
			t.Errorf("%s: %q, want %q: %s", tt.name, got, tt.want, tt.reason)
		}
	}
}
