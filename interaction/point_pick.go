package interaction

import (
	"fmt"
	"math"

	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// Figures of the project's own rule, mm; its sources say which were found elsewhere.
const (
	GapAllowed      = 1.0 / 4 * measure.MMPerInch
	gapAllowedWorn  = 1.0 / 8 * measure.MMPerInch
	verticalReaches = 7.0 / 8 * measure.MMPerInch
	thinFlange      = 15.0 / 16 * measure.MMPerInch
	StockWearFree   = 1.0 / 8 * measure.MMPerInch
)

func pointPick() *Check {
	return &Check{
		ID: "point-pick", Meets: "a vertical or thin flange at a gapped switch point",
		Happens:  "flange picks the switch point",
		Severity: Catastrophic, // the flange splits the switch
		Drawing:  FlangeAtGap, Derived: drawnGap,
		Works: AdjustSwitch | RenewPoints | GuardTip, Sampled: true,
		Formula: "allowance - point_gap - max(0, stock_rail_wear - 1/8 - undercut); allowance 1/4 in, 1/8 in where " +
			"vertical_flange reaches 7/8 or flange_thickness is 15/16 or less", Hurts: []string{"derailment"},
		Believe: "A rule of thumb of this project. It knows neither the shape of the point nor that of the flange. " +
			pointPassage +
			"From 1/4 in the gap and wear are taken as before, and in place of the 1/8 in for vertical and thin " +
			"flanges what this flange has less room than a new one beside the tip, both yawed by their play; a " +
			"flange that has room by itself is no conflict. A point guard (point_guard) is counted then, and " +
			"not under --plain: it holds the flange rim_width - flange_thickness - point_guard off the stock " +
			"rail, a thin one no farther than a new one, and the pair is clear where that leaves " +
			"passage_allowance beside the tip; where gauge + point_guard - (back_to_back_max + rim_width + " +
			"flange_thickness of the mate) is below zero the guard wedges the axle. It does not reach what " +
			"lies behind the tip: point-climb is judged without it.",
		Passes: besideTip, Passage: "room beside the tip", Looks: AtFace,
		Computing: []string{"wheel_diameter", "unread_vertical", "passage_allowance", "truck_wheelbase"},
		Figures:   pointFigures(),
		Look: "the tip of the switch point and the inside of the stock rail, which are nicked or worn where " +
			"flanges pick them",
		Sources: []string{"project's own rule", "49 CFR 213.135(b): the point must fit the stock rail (no figure)",
			"vertical flange 7/8 in: Army reference text 655 (1974), cars of 80,000 lb capacity or more",
			"gap of 1/8 in act, 1/4 in stop: from memory"},
		Reminders: []string{"213.135(a)", "213.135(b)", "213.135(e)", "213.135(f)", "213.113"},
		Kinds:     []track.Kind{track.Switch}, NoTrailing: true,
		wheel: pickAllowance,
		place: pickedGap,
		FixTrack: func(x Fix) []string {
			gap := x.Feature.Read(track.PointGap).As - x.By
			if gap < measure.MMPerInch/16 {
				return []string{"adjust the switch until the point closes tight; change a worn stock rail with its " +
					"point"}
			}
			return []string{fmt.Sprintf("adjust the switch to a point gap of %s in or less; a worn stock rail is "+
				"changed with its point", measure.DownToSixteenth(gap))}
		},
		FixWheel: func(Fix) []string {
			return []string{"turn the wheel to a full flange, or change the wheelset"}
		},
		Notes: func(x Fix) []string {
			var out []string
			for _, q := range []track.Quantity{track.StockRailWear, track.Undercut} {
				if !x.Feature.Read(q).Measured() {
					out = append(out, q.String()+" was not read and is not counted")
				}
			}
			return out
		},
	}
}

// pickAllowance is the gap that a flange of this wear passes.
func pickAllowance(s *wheelSum) {
	v, t := s.w.Read(wheel.VerticalFlange), s.w.Read(wheel.FlangeThickness)
	for _, q := range []wheel.Quantity{wheel.VerticalFlange, wheel.FlangeThickness} {
		if r := s.w.Read(q); r.Measured() {
			s.enter(uint(q), Entered{Side: "wheel", Quantity: q.String(), Reading: r})
		}
	}
	vertical := v.Measured() && v.Lo >= verticalReaches-near
	thin := t.Measured() && t.Hi <= thinFlange+near
	if vertical || thin {
		s.constant(gapAllowedWorn)
		return
	}
	notVertical := v.Measured() && v.Hi < verticalReaches-near
	notThin := t.Measured() && t.Lo > thinFlange+near
	if notVertical && notThin {
		s.constant(GapAllowed)
		return
	}
	s.Lo += gapAllowedWorn
	s.Hi += GapAllowed
	s.as += gapAllowedWorn
	if !notVertical {
		s.Vague |= WheelMask(wheel.VerticalFlange)
	}
	if !notThin {
		s.Vague |= WheelMask(wheel.FlangeThickness)
	}
	s.vague.up, s.vague.down = GapAllowed-gapAllowedWorn, GapAllowed-gapAllowedWorn
}

// pickedGap is the opening that the flange meets: the gap and the stock rail's wear beyond what an undercut hides.
func pickedGap(s *PlaceSum) {
	s.add(-1, track.PointGap)
	wear, cut := s.F.Read(track.StockRailWear), s.F.Read(track.Undercut)
	if !wear.Measured() {
		return
	}
	s.enter(TrackBit+uint(track.StockRailWear), s.of(track.StockRailWear))
	var recess measure.Reading
	if cut.Measured() {
		s.enter(TrackBit+uint(track.Undercut), s.of(track.Undercut))
		recess = cut
	}
	over := func(wear, recess float64) float64 { return math.Max(0, wear-StockWearFree-recess) }
	hi, lo := over(wear.Hi, recess.Lo), over(wear.Lo, recess.Hi)
	s.Lo -= hi
	s.Hi -= lo
	s.as -= over(wear.As, recess.As)
	s.Firm -= over(mostWritten(wear), LeastWritten(recess))
	if hi > lo {
		s.opens(TrackBit+uint(track.StockRailWear), hi-over(wear.Lo, recess.Lo), over(wear.Hi, recess.Hi)-lo)
		s.opens(TrackBit+uint(track.Undercut), hi-over(wear.Hi, recess.Hi), over(wear.Lo, recess.Lo)-lo)
		s.blurred = s.blurred || wear.OneSided() || cut.OneSided()
	}
}

// drawnGap adds the gap that is allowed. What the wear of the stock rail takes away may leave none at all.
func drawnGap(d Drawn) {
	gap, ok := d.Read["point_gap"]
	if !ok || d.Hi == nil || d.Lo == nil {
		return
	}
	lo, hi := max(0, *d.Lo+gap.Hi), max(0, *d.Hi+gap.Lo)
	text := measure.NearestInch(lo, 64)
	if hi > lo+near {
		text = between64ths(lo, hi)
	}
	d.Read["allowed"] = Dimension{MM: lo, Lo: lo, Hi: hi, Text: text + " in"}
}
