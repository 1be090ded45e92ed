package limit

import (
	"slices"
	"testing"

	"flangeway/internal/measure"
)

func TestClassMet(t *testing.T) {
	b := book(t, "federal")
	type m = map[string]measure.Reading
	for _, tt := range []struct {
		name, kind, frogType string
		readings             m
		class                string
		next                 []string
		reason               string
	}{
		{"no reading", "frog", "", nil, "", nil, "nothing is known"},
		{"no covered reading", "switch", "", m{"point_gap": inch(1)}, "", nil, "no class rule looks at the gap"},
		{"speed alone", "spot", "", m{"speed_mph": mph(10)}, "", nil, "the class sets the speed"},
		{"all as designed", "frog", "", m{"guard_check": inch(54.625), "guard_face": inch(52.75), "flangeway_depth": inch(1.875), "gauge": inch(56.5)}, "5", nil, "nothing stops the highest class"},
		{"guard check of class 2", "frog", "", m{"guard_check": inch(54.25)}, "2", []string{"guard_check 54-1/4, class 3 needs 54-3/8 or more"}, "213.143(a)"},
		{"guard check of class 4", "frog", "", m{"guard_check": inch(54.375)}, "4", []string{"guard_check 54-3/8, class 5 needs 54-1/2 or more"}, "213.143(a)"},
		{"heavy point of class 5", "frog", "heavy-point", m{"guard_check": inch(54.375)}, "5", nil, "213.143(b)"},
		{"coarse depth", "frog", "", m{"flangeway_depth": about(1.5, 1.0/32)}, "1",
			[]string{"flangeway_depth 1-1/2, class 2 needs 1-1/2 or more; within as written, but the reading is too coarse to tell"}, "a class is met only where no rule of it straddles"},
		{"two things", "frog", "", m{"flangeway_depth": inch(1.4375), "guard_check": inch(54.125)}, "1",
			[]string{"flangeway_depth 1-7/16, class 2 needs 1-1/2 or more", "guard_check 54-1/8, class 2 needs 54-1/4 or more"}, "both stop class 2, in the order of the book"},
		{"worn tread", "frog", "", m{"tread_wear": inch(0.4375)}, "1", []string{"tread_wear 7/16, class 2 needs 3/8 or less"}, "a 10 mph order is the speed of class 1"},
		{"worn point", "frog", "", m{"point_worn_down": inch(0.75), "point_worn_back": inch(7)}, "1",
			[]string{"point_worn_down 3/4 and point_worn_back 7, class 2 needs point_worn_down 5/8 or less or point_worn_back 6 or less"}, "a 10 mph order is the speed of class 1"},
		{"flange-bearing", "frog", "flange-bearing", m{"flangeway_depth": inch(1)}, "1", []string{"flangeway_depth 1, class 2 needs 1-1/2 or more"}, "213.137(d): class 1 speed"},
		{"flange-bearing between", "frog", "flange-bearing", m{"flangeway_depth": inch(1.4375)}, "1", []string{"flangeway_depth 1-7/16, class 2 needs 1-1/2 or more"}, "213.137(d) lifts 213.137(a) at class 1 speed only"},
		{"flange-bearing at the depth of class 2", "frog", "flange-bearing", m{"flangeway_depth": inch(1.5)}, "5", nil, "213.137(a) asks for no more"},
		{"shallow frog", "frog", "", m{"flangeway_depth": inch(1.25)}, "excepted", []string{"flangeway_depth 1-1/4, class 1 needs 1-3/8 or more"}, "excepted track has no rule on it"},
		{"gauge of class 3", "curve", "", m{"gauge": inch(57.75)}, "3", []string{"gauge 57-3/4, class 4 needs 57-1/2 or less"}, "213.53(b)"},
		{"wide gauge", "spot", "", m{"gauge": inch(58.125)}, "excepted", []string{"gauge 58-1/8, class 1 needs 58 or less"}, "213.4(e)(4)"},
		{"wider gauge", "spot", "", m{"gauge": inch(58.5)}, "none", []string{"gauge 58-1/2, excepted track needs 58-1/4 or less"}, "not even excepted"},
		{"narrow gauge", "spot", "", m{"gauge": inch(55.9375)}, "excepted", []string{"gauge 55-15/16, class 1 needs 56 or more"}, "excepted track has no least gauge"},
		{"warp of class 1", "spot", "", m{"warp": inch(2.5)}, "1", []string{"warp 2-1/2, class 2 needs 2-1/4 or less"}, "213.63(a)"},
		{"unbalance is left out", "curve", "", m{"unbalance": inch(6), "gauge": inch(56.5)}, "5", nil, "the speed is a choice"},
		{"one-sided", "frog", "", m{"guard_check": {Form: measure.Above, Written: `>54⅜`, As: in(54.375), Lo: in(54.34375), Hi: in(58)}}, "2",
			[]string{"guard_check >54-3/8, class 3 needs 54-3/8 or more; within as written, but the reading is too coarse to tell"}, "the step's ± reaches below 54-3/8"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			for _, posted := range []string{"", "1", "5", "excepted"} {
				class, next := b.ClassMet(Subject{Kind: tt.kind, Class: posted, FrogType: tt.frogType, Read: readings(tt.readings)})
				if class != tt.class || !slices.Equal(next, tt.next) {
					t.Errorf("posted %q: class %q, next %q; want %q, %q: %s", posted, class, next, tt.class, tt.next, tt.reason)
				}
			}
		})
	}
}

// A place that is worse in one reading never meets a higher class.
func TestWorseReadingNeverRaisesTheClass(t *testing.T) {
	b := book(t, "federal")
	rank := map[string]int{"none": 0, "excepted": 1, "1": 2, "2": 3, "3": 4, "4": 5, "5": 6}
	last := 7
	for n := 54 * 64; n <= 60*64; n++ {
		class, _ := b.ClassMet(Subject{Kind: "spot", Read: readings(map[string]measure.Reading{"gauge": inch(float64(n) / 64)})})
		if n >= 56*64 && rank[class] > last {
			t.Fatalf("gauge %d/64 meets %q, more than the narrower one", n, class)
		}
		if n >= 56*64 {
			last = rank[class]
		}
	}
	if last != 0 {
		t.Errorf("60 in meets rank %d, want none", last)
	}
}
