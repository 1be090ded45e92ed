// Package load computes how much of its static load each wheel of a car keeps that stands or runs slowly on twisted or
// tilted track.
//
// # What lifts a wheel
//
// Three shares add up, each of a wheel's static load. Twist: the difference of crosslevel between the truck centres,
// which springs, centre plates, side bearings and body take up ([Car.Twist]). Elevation: the part of it that speed does
// not balance ([Elevation]). Load: what stands to one side ([Imbalance]). A wheel keeps 1 less all of them, each with
// its worse sign if nobody read which way it goes.
//
// # Twist
//
// A four-axle car on three-piece trucks. The side frames pitch freely, so that warp within a truck unloads little; the
// load of a truck side lies evenly on its wheels. Each end of the body turns against the other by the twist of the
// track over the truck centres. First it sits on its centre plates and turns with the springs and the body. If the
// moment reaches what the plate carries at its rim, the body rocks on the rim, at that moment, until it meets a side
// bearing at each end, diagonally across. From there the springs and the body turn on, until the whole weight of the
// body lies on the bearing.
//
// Lengths are mm, forces N, moments N·mm, stiffnesses in turning N·mm/rad, shares a part of the static load.
//
// # What is left out
//
// Motion of any kind (rock and roll, bounce), friction wedges and other damping, wear of the centre plate and its wall,
// the weight of the trucks, which no twist moves (taken as body), warp within a truck, frames that do not pitch freely
// (locomotives, passenger trucks), liquid that runs to the low side. All stiffnesses and sizes are assumed if nobody
// measured them.
package load
