package limit

import (
	"maps"
	"slices"
	"testing"

	"flangeway/internal/measure"
)

// frogRead are the readings that every class needs at a frog, as designed, with others in their place.
func frogRead(others map[string]measure.Reading) map[string]measure.Reading {
	m := map[string]measure.Reading{"gauge": inch(56.5), "flangeway_depth": inch(1.875), "flangeway_width": inch(1.875),
		"guard_check": inch(54.625), "guard_face": inch(52.75)}
	maps.Copy(m, others)
	return m
}

// curveRead are those at a curve.
func curveRead(others map[string]measure.Reading) map[string]measure.Reading {
	m := map[string]measure.Reading{"gauge": inch(56.5), "degree": measure.Exact(6, "6"), "elevation": inch(1)}
	maps.Copy(m, others)
	return m
}

func TestClassMet(t *testing.T) {
	b := book(t, "federal")
	type m = map[string]measure.Reading
	over := func(v float64) measure.Reading {
		return measure.Reading{Form: measure.Above, Written: ">" + measure.Inch(in(v)), As: in(v),
			Lo: in(v - 1.0/32), Hi: in(62)}
	}
	for _, tt := range []struct {
		name, kind, frogType string
		readings             m
		class                string
		notRead              []string
		atLimit              bool
		next                 []string
		reason               string
	}{
		{"joint", "joint", "", m{"bar_depth": inch(1)}, "", nil, false, nil, "no rule of a class looks at a joint"},
		{"no reading", "frog", "", nil, "5", []string{"gauge", "flangeway_depth", "flangeway_width", "guard_check",
			"guard_face"}, false, nil, "at most: nothing stops a class, and nothing was read"},
		{"self-guarded", "frog", "self-guarded", nil, "5", []string{"gauge", "flangeway_depth", "flangeway_width"},
			false, nil, "it has no guard rail"},
		{"gauge not read", "switch", "", m{"point_gap": inch(1)}, "5", []string{"gauge"}, false, nil,
			"a class is not met on readings nobody took"},
		{"speed alone", "spot", "", m{"speed_mph": mph(10)}, "5", []string{"gauge"}, false, nil,
			"the class sets the speed"},
		{"all as designed", "frog", "", frogRead(nil), "5", nil, false, nil, "nothing stops the highest class"},
		{"guard check of class 2", "frog", "", frogRead(m{"guard_check": inch(54.25)}), "2", nil, false,
			[]string{"guard_check 54-1/4, class 3 needs 54-3/8 or more"}, "213.143(a)"},
		{"guard check of class 2, face not read", "frog", "", frogRead(m{"guard_check": inch(54.25), "guard_face": {}}),
			"2", []string{"guard_face"}, false,
			[]string{"guard_check 54-1/4, class 3 needs 54-3/8 or more"}, "at most class 2"},
		{"guard check of class 4", "frog", "", frogRead(m{"guard_check": inch(54.375)}), "4", nil, false,
			[]string{"guard_check 54-3/8, class 5 needs 54-1/2 or more"}, "213.143(a)"},
		{"heavy point of class 5", "frog", "heavy-point", frogRead(m{"guard_check": inch(54.375)}), "5", nil, false,
			nil, "213.143(b)"},
		{"at the depth of class 2", "frog", "", frogRead(m{"flangeway_depth": about(1.5, 1.0/32)}), "5", nil, true, nil,
			"met as written, and at the limit"},
		{"at the depth of class 1", "frog", "", frogRead(m{"flangeway_depth": about(1.375, 1.0/32)}), "1", nil, true,
			[]string{"flangeway_depth 1-3/8, class 2 needs 1-1/2 or more"}, "at the limit of the class that is met"},
		{"two things", "frog", "", frogRead(m{"flangeway_depth": inch(1.4375), "guard_check": inch(54.125)}),
			"1", nil, false, []string{"flangeway_depth 1-7/16, class 2 needs 1-1/2 or more",
				"guard_check 54-1/8, class 2 needs 54-1/4 or more"}, "both stop class 2, in the order of the book"},
		{"worn tread", "frog", "", frogRead(m{"tread_wear": inch(0.4375)}), "1", nil, false,
			[]string{"tread_wear 7/16, class 2 needs 3/8 or less"}, "a 10 mph order is the speed of class 1"},
		{"worn point", "frog", "", frogRead(m{"point_worn_down": inch(0.75), "point_worn_back": inch(7)}), "1", nil,
			false, []string{"point_worn_down 3/4 and point_worn_back 7, class 2 needs point_worn_down 5/8 or less " +
				"or point_worn_back 6 or less"}, "a 10 mph order is the speed of class 1"},
		{"worn point, not read how far back", "frog", "", frogRead(m{"point_worn_down": inch(0.75)}), "5",
			[]string{"point_worn_back"}, false, nil, "it could be class 1"},
		{"point hardly worn", "frog", "", frogRead(m{"point_worn_down": inch(0.5)}), "5", nil, false, nil,
			"213.137(b) asks for both"},
		{"high elevation, least not read", "curve", "", curveRead(m{"elevation": inch(6.5), "warp": inch(1.625)}), "4",
			[]string{"crosslevel_least"}, false,
			[]string{"warp 1-5/8, class 5 needs 1-1/2 or less"}, "note 1 of 213.63(a) may hold"},
		{"flange-bearing", "frog", "flange-bearing", frogRead(m{"flangeway_depth": inch(1)}), "1", nil, false,
			[]string{"flangeway_depth 1, class 2 needs 1-1/2 or more"}, "213.137(d): class 1 speed"},
		{"flange-bearing between", "frog", "flange-bearing", frogRead(m{"flangeway_depth": inch(1.4375)}), "1", nil,
			false, []string{"flangeway_depth 1-7/16, class 2 needs 1-1/2 or more"},
			"213.137(d) lifts 213.137(a) at class 1 speed only"},
		{"flange-bearing at the depth of class 2", "frog", "flange-bearing", frogRead(m{"flangeway_depth": inch(1.5)}),
			"5", nil, false, nil, "213.137(a) asks for no more"},
		{"shallow frog", "frog", "", frogRead(m{"flangeway_depth": inch(1.25)}), "excepted", nil, false,
			[]string{"flangeway_depth 1-1/4, class 1 needs 1-3/8 or more"}, "excepted track has no rule on it"},
		{"gauge of class 3", "curve", "", curveRead(m{"gauge": inch(57.75)}), "3", nil, false,
			[]string{"gauge 57-3/4, class 4 needs 57-1/2 or less"}, "213.53(b)"},
		{"degree not read", "curve", "", curveRead(m{"degree": {}}), "5", []string{"degree"}, false, nil,
			"the curve needs it"},
		{"wide gauge", "spot", "", m{"gauge": inch(58.125)}, "excepted", nil, false,
			[]string{"gauge 58-1/8, class 1 needs 58 or less"}, "213.4(e)(4)"},
		{"wider gauge", "spot", "", m{"gauge": inch(58.5)}, "none", nil, false,
			[]string{"gauge 58-1/2, excepted track needs 58-1/4 or less"}, "not even excepted"},
		{"narrow gauge", "spot", "", m{"gauge": inch(55.9375)}, "excepted", nil, false,
			[]string{"gauge 55-15/16, class 1 needs 56 or more"}, "excepted track has no least gauge"},
		{"warp of class 1", "spot", "", m{"gauge": inch(56.5), "warp": inch(2.5)}, "1", nil, false,
			[]string{"warp 2-1/2, class 2 needs 2-1/4 or less"}, "213.63(a)"},
		{"unbalance is left out", "curve", "", curveRead(m{"unbalance": inch(6)}), "5", nil, false, nil,
			"the speed is a choice"},
		{"notch of class 4", "frog", "", frogRead(m{"guard_check": over(54.375)}), "5", []string{"guard_check"}, false,
			nil, "over 54-3/8 may be class 5: whether 54-1/2 is not told, so it counts as not read"},
		{"gauge by a notch", "spot", "", m{"gauge": {Form: measure.Below, Written: "<58", As: in(58), Lo: in(54),
			Hi: in(58.03125)}}, "5", []string{"gauge"}, false, nil, "no class condemns it and every class could"},
		{"wide by a notch", "spot", "", m{"gauge": over(58)}, "excepted", []string{"gauge"}, false,
			[]string{"gauge >58, class 1 needs 58 or less"}, "over 58 is beyond class 1; 58-1/4 is not told"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			for _, posted := range []string{"", "1", "5", "excepted"} {
				got := b.ClassMet(Subject{Kind: tt.kind, Class: posted, FrogType: tt.frogType,
					Read: readings(tt.readings)})
				if got.Class != tt.class || got.AtLimit != tt.atLimit || !slices.Equal(got.NextNeeds, tt.next) ||
					!slices.Equal(got.NotRead, tt.notRead) {
					t.Errorf("posted %q: %+v; want class %q, at limit %t, next %q, not read %q: %s", posted, got,
						tt.class, tt.atLimit, tt.next, tt.notRead, tt.reason)
				}
			}
		})
	}
}

// A place is short of its class where a reading is beyond a rule of that class, and never
// where every reading complies, read finely or not.
func TestShortOfItsClass(t *testing.T) {
	b := book(t, "federal")
	type m = map[string]measure.Reading
	for _, tt := range []struct {
		name, class string
		readings    m
		want        bool
		reason      string
	}{
		{"depth of class 1", "2", frogRead(m{"flangeway_depth": inch(1.4375)}), true, "213.137(a): 1-1/2"},
		{"at the depth of class 2", "2", frogRead(m{"flangeway_depth": about(1.5, 1.0/32)}), false,
			"it complies as written"},
		{"class not known", "", frogRead(m{"flangeway_depth": inch(1)}), false, "there is no class to be short of"},
		{"excepted", "excepted", frogRead(m{"flangeway_depth": inch(1)}), false, "excepted track has no rule on it"},
		{"nothing read", "3", nil, false, "no reading is beyond"},
		{"worn tread at 25 mph", "2", frogRead(m{"tread_wear": inch(0.5), "speed_mph": mph(25)}), true,
			"213.137(c): 10 mph"},
		{"worn tread at 10 mph", "2", frogRead(m{"tread_wear": inch(0.5), "speed_mph": mph(10)}), false,
			"the rule asks for 10 mph and has it"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := b.ClassMet(Subject{Kind: "frog", Class: tt.class,
				Read: readings(tt.readings)}); got.Short != tt.want {
				t.Errorf("short %t (%+v), want %t: %s", got.Short, got, tt.want, tt.reason)
			}
		})
	}
}

// A place that is worse in one reading never meets a higher class.
func TestWorseReadingNeverRaisesTheClass(t *testing.T) {
	b := book(t, "federal")
	rank := map[string]int{"none": 0, "excepted": 1, "1": 2, "2": 3, "3": 4, "4": 5, "5": 6}
	last := 7
	for n := 56 * 64; n <= 60*64; n++ {
		m := b.ClassMet(Subject{Kind: "spot",
			Read: readings(map[string]measure.Reading{"gauge": inch(float64(n) / 64)})})
		if rank[m.Class] > last {
			t.Fatalf("gauge %d/64 meets %q, more than the narrower one", n, m.Class)
		}
		last = rank[m.Class]
	}
	if last != 0 {
		t.Errorf("60 in meets rank %d, want none", last)
	}
}
