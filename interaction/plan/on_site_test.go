package plan

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// An order says what was found, what to bring, where it is done and who conflicts until then; a wheelset is one line.
func TestOrdersSayWhatIsNeededOnSite(t *testing.T) {
	sv := files{
		"frogs.csv":  {{"location", "frog", "number", "flangeway_depth"}, {"yard", "F1", "8", "1-3/8"}},
		"wheels.csv": {{"car", "position", "flange_height"}, {"A 1", "L1", "1-9/16"}, {"A 1", "R1", "1-1/4"}},
	}.write(t, plainRailroad)
	for _, side := range []Options{{TrackOnly: true}, {CarsOnly: true}} {
		side.Level = LevelConflict
		p, err := Make(plain(t, sv), side)
		if err != nil {
			t.Fatal(err)
		}
		if side.TrackOnly {
			i := p.Orders()[0].Items[0]
			if !slices.Equal(i.Found, []string{"flangeway_depth 1-3/8"}) ||
				!strings.Contains(i.Material, "the frog is number 8") ||
				i.DoneAt == "" || i.Movement != "1 car in conflict here until it is done: A 1" ||
				!strings.HasSuffix(i.Protect, "until then each move flagged over it on foot") {
				t.Errorf("%+v", i.onSite)
			}
			continue
		}
		lines := Axles(p.CarSheet())
		if len(lines) != 1 {
			t.Fatalf("%d lines for one axle: %+v", len(lines), lines)
		}
		l := lines[0]
		if l.Position != "L1, R1" || l.ID != "C1, C2" || l.Material == "" || l.DoneAt == "" ||
			l.Movement != "to the work not over frog/F1" || l.Protect != "until then the car does not go" ||
			!strings.HasPrefix(l.Reading, "L1: flange height 1-9/16; R1:") ||
			slices.Contains(l.Note, "paid with L1") {
			t.Errorf("%+v", l)
		}
	}
}

// An order that lowers the speed brings its boards, and nothing of the track that it stands at.
func TestSpeedOrderBringsNoRail(t *testing.T) {
	sv := files{"curves.csv": {{"location", "curve", "degree", "speed_mph", "track_class", "gauge", "rail"},
		{"branch", "C1", "4", "25", "1", "56-3/4", "100RE"}}}.write(t, plainRailroad)
	p, err := Make(plain(t, sv), Options{Level: LevelConflict})
	if err != nil {
		t.Fatal(err)
	}
	orders := p.Orders()
	if len(orders) != 1 || len(orders[0].Items) != 1 {
		t.Fatalf("%+v", orders)
	}
	if i := orders[0].Items[0]; !i.restricts || i.Material != "speed boards" {
		t.Errorf("%s: bring %q, want speed boards alone", i.What, i.Material)
	}
}

// What conflicts until a work is done is protected whether or not a rule asks for it: by keeping off the cars or, where
// most cars are in it, the trains.
func TestOrdersProtectUntilDone(t *testing.T) {
	frogs := [][]string{{"location", "frog", "flangeway_depth", "flangeway_width"}, {"yard", "F1", "1-3/8", "1-7/8"},
		{"yard", "F2", "1-3/4", "1-7/8"}}
	for _, c := range []struct {
		height string
		high   int // cars of eight
		option Options
		want   string
	}{
		{"1-9/16", 2, Options{TrackOnly: true}, "keep off it A 0, A 1"},
		{"1-9/16", 8, Options{TrackOnly: true}, "each move flagged over it on foot"},
		{"1-9/16", 1, Options{CarsOnly: true}, "until then keep the car off frog/F1"},
	} {
		wheels := [][]string{{"car", "position", "flange_height"}}
		for i := range 8 {
			height := "1"
			if i < c.high {
				height = c.height
			}
			id := fmt.Sprintf("A %d", i)
			wheels = append(wheels, []string{id, "L1", height}, []string{id, "R1", "1"})
		}
		sv := files{"frogs.csv": frogs, "wheels.csv": wheels}.write(t, plainRailroad)
		p, err := Make(plain(t, sv), c.option)
		if err != nil {
			t.Fatal(err)
		}
		works := 0
		for _, a := range p.Actions {
			if a.Effect != Sets || a.Removes == 0 {
				continue
			}
			if works++; !strings.Contains(a.Protect, c.want) {
				t.Errorf("%d of 8 cars %+v: %s is protected by %q, want %q", c.high, c.option, a.What, a.Protect,
					c.want)
			}
		}
		if works == 0 {
			t.Errorf("%d of 8 cars %+v: no work in %+v", c.high, c.option, p.Actions)
		}
	}
}
