package shaped

import (
	"math"
	"strings"
	"testing"

	"flangeway/interaction"
	"flangeway/internal/fixture"
	"flangeway/internal/survey"
	"flangeway/track"
)

// Of a truck in a curve the worst mechanism that leads to the verdict is shown, and with a
// reading missing no more room than with one that might have been taken.
func TestGatherShowsTheWorst(t *testing.T) {
	data := fixture.Data(t)
	r := interaction.NewRules(survey.NewSettings(data.Settings), data)
	at := func(sideways, rolling float64) margins {
		m := noMargins()
		m[side], m[rollover] = sideways, rolling
		return m
	}
	unread := interaction.TrackMask(track.Gauge)
	for _, v := range []struct {
		name, reason string
		list         []tried
		fresh        float64
		mechanism    int
		margin       float64
		verdict      interaction.Verdict
	}{
		{"rollover before the truck side", "both are undecided, the rail by more",
			[]tried{{m: at(.03, -.11), decides: true}}, .15, rollover, -.11, interaction.Undecided},
		{"truck side before rollover", "both are undecided, the side by more",
			[]tried{{m: at(-.04, .02), decides: true}}, .3, side, -.04, interaction.Undecided},
		{"held rail", "a clear rail under zero stands for nothing: fastenings hold it",
			[]tried{{m: at(.2, -.1), decides: true}}, -.05, side, .2, interaction.Clear},
		{"gauge not read", "what it might be leads to the verdict, not what stands in for it",
			[]tried{{m: at(.4, .109), decides: true}, {m: at(.4, -.12), decides: true, unread: unread}}, .32, rollover,
			-.12, interaction.Undecided},
		{"gauge not read, no matter", "as written where all is clear",
			[]tried{{m: at(.4, .3), decides: true}, {m: at(.35, .25), decides: true, unread: unread}}, .32, side, .4,
			interaction.Clear},
		{"end of a reading", "the margin stays that as written",
			[]tried{{m: at(.1, .3), decides: true}, {m: at(.02, .3), decides: true}}, .32, side, .1,
			interaction.Undecided},
	} {
		for i := range v.list {
			v.list[i].fresh = v.fresh
		}
		k := gather(r, v.list, nil, ground{loaded: true}, true, unsure{})
		if k.Mechanism != mechanisms[v.mechanism].name || math.Abs(k.Margin-v.margin) > 1e-9 || k.Verdict != v.verdict {
			t.Errorf("%s: %s by %s %+.3f, want %s by %s %+.3f: %s", v.name, k.Verdict, k.Mechanism, k.Margin, v.verdict,
				mechanisms[v.mechanism].name, v.margin, v.reason)
		}
	}
}

// Where every point is undecided by rollover no reading that was not taken settles it, and none
// is named; where one point is clear, that of the others is.
func TestGatherNamesWhatSettles(t *testing.T) {
	data := fixture.Data(t)
	r := interaction.NewRules(survey.NewSettings(data.Settings), data)
	at := func(rolling float64, unread interaction.Mask, light bool) tried {
		m := noMargins()
		m[side], m[rollover] = .4, rolling
		return tried{m: m, decides: true, fresh: .3, unread: unread, light: light}
	}
	wear := interaction.TrackMask(track.HeadWear)
	for _, v := range []struct {
		name   string
		list   []tried
		settle interaction.Mask
		light  bool
	}{
		{"no end decides", []tried{at(-.1, 0, false), at(-.2, wear, false), at(-.2, 0, true)}, 0, false},
		{"an unread wear decides", []tried{at(.3, 0, false), at(-.1, wear, false)}, wear, false},
		{"an unread weight decides", []tried{at(.3, 0, false), at(-.1, 0, true)}, 0, true},
	} {
		k := gather(r, v.list, nil, ground{loaded: true}, true, unsure{})
		if k.Verdict != interaction.Undecided || k.settle != v.settle || (len(k.Columns) > 0) != v.light {
			t.Errorf("%s: %s, settled by %v and %q", v.name, k.Verdict, interaction.ReadingNames(k.settle), k.Columns)
		}
	}
}

// What is undecided with its whole range over zero says why.
func TestRangeOverZeroSaysWhy(t *testing.T) {
	data := fixture.Data(t)
	r := interaction.NewRules(survey.NewSettings(data.Settings), data)
	for _, v := range []struct {
		name  string
		k     Computed
		plain interaction.Verdict
		says  string
	}{
		{"plain rule", Computed{Mechanism: "outer tread over the stock rail", Unit: "mm", Low: 1.8, High: 4},
			interaction.Undecided, "the plain rule gives undecided"},
		{"allowance", Computed{Mechanism: "outer tread over the stock rail", Unit: "mm", Low: .1, High: 4},
			interaction.Clear, "less than passage_allowance"},
		{"not read", Computed{Mechanism: mechanisms[climb].name, Low: .3, High: .4, unknown: true, truck: &truckJob{}},
			interaction.Clear, "for want of the readings"},
	} {
		v.k.Verdict = interaction.Undecided
		if s := v.k.RangeNote(r, v.plain); !strings.Contains(s, v.says) || !strings.Contains(s, "over zero") {
			t.Errorf("%s: says %q, want %q", v.name, s, v.says)
		}
	}
}
