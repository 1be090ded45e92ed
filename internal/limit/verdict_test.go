package limit

import (
	"math/rand/v2"
	"testing"

	"flangeway/configs"
	"flangeway/internal/measure"
)

func condition(op string, inches float64) configs.Condition {
	return configs.Condition{Quantity: "flange_height", Op: op, Value: in(inches)}
}

func oneSided(form measure.Form, as, lo, hi float64) measure.Reading {
	return measure.Reading{Form: form, As: in(as), Lo: in(lo), Hi: in(hi)}
}

func typed(text string, form measure.Form, as, lo, hi float64) measure.Reading {
	r := oneSided(form, as, lo, hi)
	r.Written = text
	return r
}

func TestVerdictOfOneReading(t *testing.T) {
	for _, tt := range []struct {
		name   string
		c      configs.Condition
		r      measure.Reading
		want   Verdict
		reason string
	}{
		{"missing", condition(">=", 1.5), measure.Reading{}, NotMeasured, "blank is not measured, never zero"},
		{"none is zero", condition(">", 0.375), measure.Reading{Form: measure.None}, Within,
			"looked at and there is none"},
		{"well within", condition(">=", 1.5), about(1.25, 1.0/32), Within, "the interval ends below"},
		{"interval reaches the figure", condition(">=", 1.5), about(1.46875, 1.0/32), Straddles,
			"its upper end is the figure, which condemns"},
		{"interval ends at a figure that is legal", condition(">", 1.5), about(1.46875, 1.0/32), Within,
			"only over the figure condemns"},
		{"as written beyond", condition(">=", 1.5), about(1.5, 1.0/32), Beyond,
			"judged as written although the interval reaches below"},
		{"less than, straddles", condition("<", 1.375), about(1.375, 1.0/32), Straddles,
			"within as written at the figure, the interval reaches below"},
		{"less or equal, at", condition("<=", 0.875), about(0.875, 1.0/32), Beyond, "7/8 or less"},
		{"same to a billionth", condition("<", 1.375), measure.Exact(in(1.375)-5e-10, ""), Within,
			"a difference within 1e-9 is none"},
		{"more than a billionth", condition("<", 1.375), measure.Exact(in(1.375)-5e-9, ""), Beyond,
			"a difference beyond 1e-9 is one"},
		{"same to a billionth, or less", condition("<=", 0.875), measure.Exact(in(0.875)+5e-10, ""), Beyond,
			"a difference within 1e-9 is none"},
		{"go, all condemns", condition("<=", 0.875), oneSided(measure.Below, 0.8125, 0.5, 0.84375), Beyond,
			"the whole interval condemns"},
		{"go, none condemns", condition("<=", 0.875), oneSided(measure.Above, 0.9375, 0.90625, 2), Within,
			"none of the interval condemns"},
		{"go at the figure", condition("<=", 0.875), typed(">7/8", measure.Above, 0.875, 0.84375, 2), Within,
			"the notch of 7/8 decides 7/8: its step is left out"},
		{"go at the figure, with =", condition("<=", 0.875), typed(">=7/8", measure.Above, 0.875, 0.84375, 2), Within,
			"with or without ="},
		{"no-go at the figure", condition("<=", 0.875), typed("<=7/8", measure.Below, 0.875, 0.5, 0.90625), Beyond,
			"7/8 or less, and its step is left out"},
		{"no-go below the figure", condition("<=", 0.875), typed("<7/8", measure.Below, 0.875, 0.5, 0.90625), Beyond,
			"less than 7/8 as written"},
		{"touched at the figure", condition(">=", 1.5), typed(">=1-1/2", measure.Above, 1.5, 1.46875, 2.5), Beyond,
			"a gauge of 1-1/2 that touches the tip condemns"},
		{"touched under the figure", condition(">=", 1.5), typed(">=1-7/16", measure.Above, 1.4375, 1.40625, 2.5),
			Straddles, "it may be under 1-1/2"},
		{"more than the figure", condition(">", 4), typed(">4", measure.Above, 4, 3.98, 5), Beyond,
			"more than 4 as written"},
		{"at least the figure", condition(">", 4), typed(">=4", measure.Above, 4, 3.98, 5), Beyond,
			"with or without ="},
		{"did not touch", condition(">=", 1.5), typed("<1-1/2", measure.Below, 1.5, 0.5, 1.53125), Within,
			"the notch of 1-1/2 decides 1-1/2"},
		{"did not touch, with =", condition(">=", 1.5), typed("<=1-1/2", measure.Below, 1.5, 0.5, 1.53125), Within,
			"with or without ="},
		{"did not touch a notch above", condition(">=", 1.5), typed("<1-5/8", measure.Below, 1.625, 0.5, 1.65625),
			Straddles, "it may be 1-1/2"},
		{"did not touch a notch below", condition(">=", 1.5), typed("<1-7/16", measure.Below, 1.4375, 0.5, 1.46875),
			Within, "none of the half-line condemns"},
		{"thicker than a notch above", condition("<=", 0.875), typed(">15/16", measure.Above, 0.9375, 0.90625, 1.4375),
			Within, "none of the half-line condemns"},
		{"thicker than a notch below", condition("<=", 0.875), typed(">13/16", measure.Above, 0.8125, 0.78125, 1.4375),
			Straddles, "it may be 7/8"},
		{"gauge under 58 and the least", condition("<", 56), typed("<58", measure.Below, 58, 54, 58.03), Straddles,
			"a limit on both sides is two rules: the least is left open"},
		{"gauge under 58 and the most", condition(">", 58), typed("<58", measure.Below, 58, 54, 58.03), Within,
			"none of the half-line condemns"},
		{"figure as condemned, interval ends there", condition("<=", 0.875), about(0.90625, 1.0/32), Straddles,
			"it ends exactly on a figure that the rule itself condemns"},
		{"figure allowed, interval ends there", condition("<", 0.875), about(0.90625, 1.0/32), Within,
			"7/8 itself is allowed"},
		{"no-go the wrong way", condition(">=", 1.5), oneSided(measure.Above, 1, 0.96875, 2.5), Straddles,
			"it says nothing near the figure"},
		{"range by its middle, within", condition(">=", 1.5), measure.Reading{Form: measure.Range, As: in(1.375),
			Lo: in(1.21875), Hi: in(1.53125)}, Straddles, "the middle is as written"},
		{"range by its middle, beyond", condition(">=", 1.25), measure.Reading{Form: measure.Range, As: in(1.375),
			Lo: in(1.21875), Hi: in(1.53125)}, Beyond, "the middle is as written"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			if got := judge(tt.c, tt.r); got != tt.want {
				t.Errorf("%s, want %s: %s", got, tt.want, tt.reason)
			}
		})
	}
}

func TestVerdictOfTwoConditions(t *testing.T) {
	b := book(t, "federal")
	none := measure.Reading{}
	for _, tt := range []struct {
		name       string
		down, back measure.Reading
		speed      measure.Reading
		want       Verdict
		quantity   string
		law        Word // of point_worn_down
		note       string
		reason     string
	}{
		{"both beyond", inch(0.75), inch(7), mph(25), Beyond, "point_worn_down", No, "point_worn_back 7",
			"more than 5/8 down and 6 back"},
		{"one within", inch(0.75), inch(6), mph(25), Within, "point_worn_back", Yes, "point_worn_down 3/4",
			"6 in back is not more than 6"},
		{"missing and beyond", inch(0.75), none, mph(25), NotMeasured, "point_worn_back", Unknown,
			"point_worn_down 3/4", "the other reading decides"},
		{"missing and within", inch(0.5), none, mph(25), Within, "point_worn_down", Yes, "",
			"one that is not met is enough"},
		{"missing and straddling", about(0.625, 1.0/32), none, mph(25), NotMeasured, "point_worn_back", Unknown,
			"point_worn_down 5/8", "not measured comes before straddles"},
		{"straddling and beyond", about(0.625, 1.0/32), inch(7), mph(25), Straddles, "point_worn_down", Yes,
			"point_worn_back 7", "both could be met"},
		{"both missing", none, none, none, NotMeasured, "point_worn_down", None, "", "no reading at all"},
		{"beyond at 10 mph", inch(0.75), inch(7), mph(10), Beyond, "point_worn_down", Yes,
			"point_worn_back 7; limited to 10 mph already", "the rule asks for 10 mph and has it"},
		{"beyond at 11 mph", inch(0.75), inch(7), mph(11), Beyond, "point_worn_down", No, "point_worn_back 7",
			"faster than the rule lets"},
		{"beyond, speed unknown", inch(0.75), inch(7), none, Beyond, "point_worn_down", No, "point_worn_back 7",
			"nobody says that it is limited"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			s := Subject{Kind: "frog", Class: "2", Read: readings(map[string]measure.Reading{"point_worn_down": tt.down,
				"point_worn_back": tt.back, "speed_mph": tt.speed})}
			found := false
			for _, j := range b.Judge(s) {
				if j.Rule.ID != "213.137(b)" {
					continue
				}
				found = true
				if j.Verdict != tt.want || j.Quantity != tt.quantity || j.Note != tt.note {
					t.Errorf("%s by %s, note %q; want %s by %s, note %q: %s", j.Verdict, j.Quantity, j.Note, tt.want,
						tt.quantity, tt.note, tt.reason)
				}
				if want := "point_worn_down > 5/8 in and point_worn_back > 6 in"; j.Condition != want {
					t.Errorf("condition %q, want %q", j.Condition, want)
				}
			}
			if !found {
				t.Fatal("213.137(b) did not judge")
			}
			if law, _ := b.Legality(s, "point_worn_down"); law.Word != tt.law {
				t.Errorf("legality %s, want %s: %s", law.Word, tt.law, tt.reason)
			}
		})
	}
}

// A reading that is known less well is never judged better: widening an interval around the same value as written turns
// no straddles into within and no verdict but within into straddles.
func TestWideningNeverImproves(t *testing.T) {
	rng := rand.New(rand.NewPCG(213, 137))
	ops := []string{"<", "<=", ">", ">="}
	for range 20000 {
		c := condition(ops[rng.IntN(4)], float64(rng.IntN(64))/64)
		as := float64(rng.IntN(64)) / 64
		half := float64(rng.IntN(8)) / 64
		r := about(as, half)
		form := []measure.Form{measure.Point, measure.Range, measure.Above, measure.Below}[rng.IntN(4)]
		r.Form = form
		wide := r
		wide.Lo -= in(float64(rng.IntN(8)) / 64)
		wide.Hi += in(float64(rng.IntN(8)) / 64)
		narrowV, wideV := judge(c, r), judge(c, wide)
		switch {
		case narrowV == Straddles && wideV != Straddles,
			narrowV == Within && wideV == Beyond,
			narrowV == Beyond && wideV == Within,
			narrowV == Beyond && wideV == Straddles && !r.OneSided():
			t.Fatalf("%s %g: %s over [%g, %g] becomes %s over [%g, %g]", c.Op, c.Value, narrowV, r.Lo, r.Hi, wideV,
				wide.Lo, wide.Hi)
		}
	}
}

// The mirror image of a reading against the mirror image of a rule, and both in another unit, have the same verdict.
func TestMirrorAndUnitKeepTheVerdict(t *testing.T) {
	rng := rand.New(rand.NewPCG(215, 103))
	mirror := map[string]string{"<": ">", "<=": ">=", ">": "<", ">=": "<="}
	flip := map[measure.Form]measure.Form{measure.Point: measure.Point, measure.Range: measure.Range,
		measure.Above: measure.Below, measure.Below: measure.Above}
	ops := []string{"<", "<=", ">", ">="}
	for range 20000 {
		c := condition(ops[rng.IntN(4)], float64(rng.IntN(32))/16)
		r := about(float64(rng.IntN(32))/16, float64(rng.IntN(4))/16)
		r.Form = []measure.Form{measure.Point, measure.Range, measure.Above, measure.Below}[rng.IntN(4)]
		want := judge(c, r)
		mc := configs.Condition{Op: mirror[c.Op], Value: -c.Value}
		mr := measure.Reading{Form: flip[r.Form], As: -r.As, Lo: -r.Hi, Hi: -r.Lo}
		if got := judge(mc, mr); got != want {
			t.Fatalf("%s %g on %v: %s, mirrored %s", c.Op, c.Value, r, want, got)
		}
		uc := configs.Condition{Op: c.Op, Value: c.Value * 1000}
		ur := measure.Reading{Form: r.Form, As: r.As * 1000, Lo: r.Lo * 1000, Hi: r.Hi * 1000}
		if got := judge(uc, ur); got != want {
			t.Fatalf("%s %g on %v: %s, a thousand times as large %s", c.Op, c.Value, r, want, got)
		}
	}
}

// The words of a side: no before unknown before yes before none.
func TestJoin(t *testing.T) {
	is := func(w Word) Standing { return Standing{Word: w} }
	at := Standing{Yes, true}
	for _, tt := range []struct {
		name   string
		list   []Standing
		want   Standing
		reason string
	}{
		{"nothing", nil, is(None), "a side without a reading"},
		{"none alone", []Standing{is(None), is(None)}, is(None), "no rule covers any of them"},
		{"one met", []Standing{is(None), is(Yes)}, is(Yes), "at least one rule was met"},
		{"one unknown", []Standing{is(Yes), is(Unknown), is(None)}, is(Unknown), "which rule holds is not known"},
		{"one no", []Standing{is(Unknown), is(No), is(Yes)}, is(No), "no comes before unknown"},
		{"at a limit", []Standing{at, is(None)}, at, "it counts as met and is marked"},
		{"at a limit and beyond another", []Standing{at, is(No)}, Standing{No, true},
			"a reading straddles all the same"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			got := is(None)
			for _, s := range tt.list {
				got = Join(got, s)
			}
			if got != tt.want {
				t.Errorf("%v, want %v: %s", got, tt.want, tt.reason)
			}
		})
	}
}

func TestJudgeListsWhatIsNotMeasured(t *testing.T) {
	b := book(t, "federal")
	s := Subject{Kind: "frog", Class: "1"}
	js := b.Judge(s)
	if len(js) == 0 {
		t.Fatal("nothing was judged")
	}
	for _, j := range js {
		if j.Verdict != NotMeasured {
			t.Errorf("%s: %s without a reading", j.Rule.ID, j.Verdict)
		}
		if j.Rule.Reminder {
			t.Errorf("%s is a reminder and judges nothing", j.Rule.ID)
		}
	}
}

func BenchmarkLegality(b *testing.B) {
	bk := book(b, "federal", "interchange", "yard-practice")
	s := Subject{Kind: "frog", Class: "2",
		Read: readings(map[string]measure.Reading{"flangeway_depth": about(1.5, 1.0/32)})}
	for b.Loop() {
		bk.Legality(s, "flangeway_depth")
	}
}
