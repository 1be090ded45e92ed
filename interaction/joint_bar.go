package interaction

import (
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

func jointBar() *Check {
	return &Check{
		ID: "joint-bar", Meets: "a high flange over the bars of a worn joint", Happens: "flange strikes the joint bar",
		Formula: "bar_depth - flange_height; without bar_depth: [edge depth, head depth] of the rail section - head_wear - flange_height", Hurts: []string{"bar"},
		Believe: "With bar_depth read, plain geometry. Without it the bar top is only known to lie between the head's edge and its centre depth, so the check seldom decides.",
		Sources: []string{"rail section properties after AREMA chapter 4 (115RE, 136RE, 141RE head depth); the other head depths from memory", "edge depth: head depth - width/8 (fishing slope 1 in 4), derived"},
		Kinds:   []track.Kind{track.Joint},
		wheel:   func(s *wheelSum) { s.add(-1, wheel.FlangeHeight) },
		place:   barDepth,
		fixTrack: func(fix) []string {
			return []string{"change the bars for ones that lie lower, or change out the worn rail"}
		},
		fixWheel: turnHeight,
	}
}

// barDepth is the depth of the bar top below the present rail top: read, or
// bounded by the section's two depths less the head wear.
func barDepth(s *placeSum) {
	if s.f.Read(track.BarDepth).Measured() {
		s.add(1, track.BarDepth)
		return
	}
	section, known := s.rules.data.Section(s.f.Rail)
	if !known || !s.f.Read(track.HeadWear).Measured() {
		s.missing |= trackMask(track.BarDepth)
		return
	}
	s.lo += section.EdgeDepth()
	s.hi += section.HeadDepth
	s.vague |= trackMask(track.BarDepth)
	s.blurred = true
	if s.recording {
		s.entered = append(s.entered, Entered{Side: "track", Quantity: track.BarDepth.String(), Default: true, From: "section " + section.Name,
			Reading: measure.Reading{Form: measure.Range, Written: section.Name + " head", As: (section.EdgeDepth() + section.HeadDepth) / 2, Lo: section.EdgeDepth(), Hi: section.HeadDepth}})
	}
	s.add(-1, track.HeadWear)
}
