package interaction

// Work is a set of works that mend what a check finds.
type Work uint16

// The works on a place, as the plan has them, and WheelAlone if none of them helps.
const (
	Depth        Work = 1 << iota // the frog's flangeway made deeper
	Width                         // a flangeway made wider
	GuardRail                     // the guard rail moved
	Regauge                       // the track regauged
	AdjustSwitch                  // the switch adjusted
	RenewPoints                   // the points renewed
	MendTip                       // a point's tip built up, or its face ground
	Risers                        // risers under the points
	RenewJoint                    // the joint's rail or bars renewed
	Surface                       // the track raised and tamped
	GuardTip                      // a guard that holds flanges off the tip of a point
	WheelAlone                    // only the wheel is mended
)

// Any reports whether one of the works is among them.
func (w Work) Any(of Work) bool { return w&of != 0 }
