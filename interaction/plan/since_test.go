package plan

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"flangeway/internal/measure"
	"flangeway/internal/survey"
)

// met is a survey of three wheels on a frog, of the given depth and days.
func met(depth, placeDay string, heights []string, wheelDay string) files {
	f := files{"wheels.csv": {{"car", "position", "date", "flange_height"}},
		"frogs.csv": {{"location", "frog", "flangeway_depth", "date"}, {"yard", "F1", depth, placeDay}}}
	for i, h := range heights {
		f["wheels.csv"] = append(f["wheels.csv"], []string{fmt.Sprintf("A %d", i), "L1", wheelDay, h})
	}
	return f
}

// TestSinceConflicts: a conflict is closed by a later reading of the place or of its wheels, and by nothing else.
func TestSinceConflicts(t *testing.T) {
	t.Parallel()
	const railroad = "schema: 1\ndate: %s\n"
	high := []string{"1-9/16", "1-9/16", "1"}
	old := met("1-3/8", "2026-03-01", high, "2026-03-01")
	for name, tt := range map[string]struct {
		now  files
		want Standing
		says string
	}{
		"the same":     {met("1-3/8", "2026-03-01", high, "2026-03-01"), StillOpen, ""},
		"built up":     {met("1-7/8", "2026-04-01", high, "2026-03-01"), Closed, "frog/F1 read again on 2026-04-01"},
		"no later day": {met("1-7/8", "2026-03-01", high, "2026-03-01"), StillOpen, "no later day"},
		"no day":       {met("1-7/8", "", high, "2026-03-01"), StillOpen, "no later day"},
		"turned": {met("1-3/8", "2026-03-01", []string{"1", "1", "1"}, "2026-04-02"), Closed,
			"2 wheels read again, the last on 2026-04-02"},
		"one gone":       {met("1-3/8", "2026-03-01", high[:1], "2026-03-01"), StillOpen, ""},
		"all gone":       {met("1-3/8", "2026-03-01", []string{}, "2026-03-01"), StillOpen, "stands in no sheet"},
		"worse":          {met("1-1/8", "2026-04-01", high, "2026-03-01"), Worse, ""},
		"more":           {met("1-3/8", "2026-03-01", []string{"1-9/16", "1-9/16", "1-9/16"}, "2026-04-01"), Worse, ""},
		"not read":       {met("", "2026-04-01", high, "2026-03-01"), StillOpen, "not measured there now"},
		"left undecided": {met("<1-7/8", "2026-04-01", high, "2026-03-01"), StillOpen, "undecided there now"},
	} {
		a := plain(t, old.write(t, fmt.Sprintf(railroad, "2026-03-31"))).Judge()
		b := plain(t, tt.now.write(t, fmt.Sprintf(railroad, "2026-04-30"))).Judge()
		list, err := Since(a, b, nil)
		if err != nil {
			t.Fatal(err)
		}
		list = slices.DeleteFunc(list, func(x Followed) bool { return x.Rule != "frog-floor" })
		if len(list) != 1 || list[0].Standing != tt.want || !strings.Contains(list[0].ClosedBy+list[0].Why, tt.says) {
			t.Errorf("%s: %+v, want %s: %s", name, list, tt.want, tt.says)
		}
	}
	fresh := plain(t, met("1-7/8", "2026-03-01", high, "2026-03-01").write(t,
		fmt.Sprintf(railroad, "2026-03-31"))).Judge()
	bad := plain(t, old.write(t, fmt.Sprintf(railroad, "2026-04-30"))).Judge()
	if list, err := Since(fresh, bad, nil); err != nil || len(list) == 0 || list[0].Standing != New {
		t.Errorf("%+v, %v: want one that is new", list, err)
	}
}

// TestLogTwice: going on with defects.csv a second time changes nothing, whatever was found; what is closed stays so.
func TestLogTwice(t *testing.T) {
	t.Parallel()
	day, _ := measure.ParseDate("2026-10-31")
	some := 0
	for seed := range uint64(6) {
		r := roller{rand.New(rand.NewPCG(77, seed))}
		e := plain(t, r.survey(4, 2, 10, 0.1).write(t, "schema: 1\ndate: 2026-10-31\ntrack_class: 2\nspeed_mph: 25\n"))
		result, found := e.Judge(), Defects(e)
		once, err := UpdateLog(nil, result, found, day)
		if err != nil {
			t.Fatal(err)
		}
		some += len(once)
		data, err := survey.WriteDefects(once)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := survey.ReadDefects(survey.DefectsFile, data, day)
		if err != nil {
			t.Fatalf("what was written is not read: %v\n%s", err, data)
		}
		twice, err := UpdateLog(rows, result, found, day)
		if err != nil {
			t.Fatal(err)
		}
		if again, _ := survey.WriteDefects(twice); string(again) != string(data) {
			t.Errorf("seed %d: written twice\n%s\nand\n%s", seed, data, again)
		}
		p, err := Make(e, Options{NoCurve: true})
		if err != nil {
			t.Fatal(err)
		}
		if len(p.Federal) != len(found) {
			t.Errorf("seed %d: the plan knows %d readings beyond a limit, the log %d", seed, len(p.Federal), len(found))
		}
	}
	if some == 0 {
		t.Error("nothing was beyond a limit")
	}
}
