package interaction

import (
	"math"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

func jointBar() *Check {
	return &Check{
		ID: "joint-bar", Meets: "a high flange over the bars of a worn joint", Happens: "flange strikes the joint bar",
		Severity: Marginal, // the flange breaks bars and bolts
		Drawing:  TipOverBar, Derived: drawnBar,
		Works: RenewJoint,
		Formula: "bar_depth - flange_height; without bar_depth: clear where edge depth of the rail section - " +
			"head_wear - flange_height is surely not negative, else not measured", Hurts: []string{"bar"},
		Believe: "With bar_depth read, plain geometry. Without it a flange that reaches no lower than the edge of " +
			"the worn head passes beside the head, where a bar lies no higher; a higher flange is not judged, since " +
			"no sheet says where the bar lies.",
		Sources: []string{"rail section properties after AREMA chapter 4 (115RE, 136RE, 141RE head depth); the " +
			"other head depths from memory", "edge depth: head depth - width/8 (fishing slope 1 in 4), derived"},
		Reminders: []string{"213.109(e)", "213.113", "213.115", "213.121"},
		Kinds:     []track.Kind{track.Joint}, oneEnd: true,
		wheel: func(s *wheelSum) { s.add(-1, wheel.FlangeHeight) },
		place: barDepth,
		FixTrack: func(Fix) []string {
			return []string{"change the bars for ones that lie lower, or change out the worn rail"}
		},
		FixWheel: turnHeight,
	}
}

// barDepth is the depth of the bar top below the present rail top: read, or at least that of the section's edge less
// the head wear, if rail and wear are known.
func barDepth(s *PlaceSum) {
	if s.F.Read(track.BarDepth).Measured() {
		s.add(1, track.BarDepth)
		return
	}
	section, known := s.rules.data.Section(s.F.Rail)
	if !known || !s.F.Read(track.HeadWear).Measured() {
		s.Missing |= TrackMask(track.BarDepth)
		return
	}
	edge := section.EdgeDepth()
	s.constant(edge)
	if s.recording {
		s.Entered = append(s.Entered, Entered{Side: "track", Quantity: track.BarDepth.String(), Default: true,
			From:    "section " + section.Name + configs.MemoryMark(section.Sure),
			Reading: measure.Exact(edge, section.Name+" edge")})
	}
	s.add(-1, track.HeadWear)
	s.Hi, s.NoHi = math.Inf(1), true
	s.Vague |= TrackMask(track.BarDepth)
}

// drawnBar takes the wear off a depth of the section, which is that of the unworn rail. If the pair is not measured the
// section's edge proves nothing, and is not drawn.
func drawnBar(d Drawn) {
	if d.Verdict == NotMeasured {
		delete(d.Read, "bar_depth")
	}
	bar, ok := d.Read["bar_depth"]
	worn, less := d.Read["head_wear"]
	if ok && less {
		d.Read["bar_depth"] = Dimension{MM: bar.MM - worn.MM, Lo: bar.Lo - worn.Hi, Hi: bar.Hi - worn.Lo,
			Text: bar.Text + ", less " + worn.Text}
	}
}
