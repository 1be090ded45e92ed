package interaction

import (
	"slices"
	"strings"

	"flangeway/track/shape"
)

// Passing is how shapes judge a check, beside the plain rule.
type Passing uint8

const (
	PlainAlone    Passing = iota // they do not
	OverFloor                    // the flange tip over a frog's floor
	besidePoint                  // the flange face beside a frog's point
	OnWing                       // the false flange on a frog's wing
	OverStockRail                // the outer tread over the stock rail
	OnPoint                      // the flange tip on a switch point
	besideTip                    // the flange face beside the tip of a switch point
	InTruck                      // the truck in a curve, by its forces
)

// Look is which part of a wheel's shape a check looks at.
type Look uint8

const (
	AtTread Look = iota // by thickness and hollow
	AtFace              // by thickness, vertical flange and height
	AtTip               // by height
)

// frogPassage and pointPassage are how far what passages give is to be believed, beside the plain rule.
const (
	frogPassage = "Without --plain a verdict is computed besides: the wheel, in the shape that its readings leave, " +
		"is taken through the frog's sections station by station (flangeway passage). The sections are assumed, the " +
		"tops both flat and sloped (wing_slope_least, wing_slope_most). Nothing is clear that the plain rule does " +
		"not clear. Where all that was tried keeps passage_allowance such a pair is clear, where one form of the " +
		"tops is clear with the readings as written it is clear and close, else undecided; a conflict only where all " +
		"fails. What was not read (number, type, width, the point's wear, a flange) is tried over what it can be, " +
		"and named where the verdict hangs on it. Hollow is rounded to 1/2 mm, thickness to 1/8 in, height to 1/16 " +
		"in, the ends outward; flangeway passage computes with them as written. "
	pointPassage = "Without --plain a verdict is computed besides: the wheel, in the shape that its readings leave, " +
		"is taken over the closed point station by station (flangeway passage). The point's detail is assumed, from " +
		"memory. Nothing is clear that the plain rule does not clear. Where all that was tried keeps " +
		"passage_allowance such a pair is clear, where it is clear with the readings as written it is clear and " +
		"close, else undecided; a conflict only where all fails, and one of the flange's tip only where the plain " +
		"rule has it too. What was not read (gap, thickness, wear of the stock rail, the axle's play) is tried over " +
		"what it can be, and named where the verdict hangs on it. Hollow is rounded to 1/2 mm, thickness and " +
		"vertical flange to 1/8 in, height to 1/16 in, the ends outward; flangeway passage computes with them as " +
		"written. Beside the flange's tip point-climb takes the flange by its height and thickness, where flangeway " +
		"passage takes its vertical flange too: their angles differ. "
)

// frogFigures and pointFigures are the names of the built-in figures that enter the
// sections of frogs and of switch points.
func frogFigures() []string {
	names := shape.FrogPlanConstants("rbm")
	for _, typ := range shape.ModelledFrogs() {
		for _, n := range shape.FrogPlanConstants(typ) {
			if !slices.Contains(names, n) {
				names = append(names, n)
			}
		}
	}
	names = slices.DeleteFunc(names, func(n string) bool {
		// two settings stand for the slope, and no check computes how a floor is met that is made to be
		return n == "wing_slope" || strings.HasPrefix(n, "bearing_")
	})
	return append(names, "point_worn_back", "unsprung_mass", "force_bound", "unread_number", "unread_number_least",
		"unread_number_most", "unread_width_least", "unread_width_most",
		"unread_worn_down", "unread_worn_back", "unread_flange", "unread_height")
}

func pointFigures() []string {
	names := slices.DeleteFunc(shape.SwitchPlanConstants(), func(n string) bool { return n == "climb_angle" })
	return append(names, "chip_length", "unread_flange", "unread_height", "unread_gap", "unread_thickness",
		"unread_stock_rail_wear", "unread_tip_most", "unread_drop", "unread_play")
}
