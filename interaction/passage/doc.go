// Package passage takes a real wheel through a real frog and over a closed, worn switch point, station by station:
// shape against shape, rigid, at a crawl, with the vertical force of dips and strikes added by formula.
//
// # Frog
//
// A frog ([shape.FrogModel]) is cut across at right angles to its axis: y from the gauge line of the route that is run,
// positive to the field, x along the axis from the theoretical point to the heel. The running wing keeps its gauge side
// on the gauge line up to the throat and parts from it at 1 in N; the point stands between the gauge lines; the other
// wing and the floor lie under the flange. At each station the wheel is let down upright on each of them, its tape line
// held at one distance across, and the highest of these heights counts; then the wheel is rolled along the heights as a
// circle of its radius, the flange as one larger by the flange height. Where two supports carry alike the path turns
// upward at once: a dip, whose whole angle goes into P2 = static + angle*speed*M*C*K. A floor that carries the flange
// is a strike: met at its blunt end with the angle of a step, at a ramp with the ramp's rate, at a slope with the angle
// between tread and floor; what it adds is capped by the track's stiffness times the rise. Positions across: held by
// the guard rail (back of the other wheel at the guard check) or by the raised guard of a self-guarded frog, in the
// middle of the play, and away from the point.
//
// # Diamond
//
// One rail of a crossing ([shape.DiamondModel]) is a head that the flangeway of each rail of the other track cuts on
// the slant of the crossing, two frogs in a row: x along it from the first cut. What is left of it before and behind
// is the wing, what lies between both cuts the point. Where a section has nothing under the tread the wheel bridges
// the cut by its roundness, at right angles as [GapDrop] has it. Rounded edges beside a cut and the heads of the other
// track carry nothing, so that a drop is rather too deep.
//
// # Switch point
//
// A point ([shape.SwitchModel]) is a table of depth and thickness by station with tip thickness, loss of height, chip,
// gap, stock rail wear, undercut and heel rise as read. The wheel is pressed to its stock rail until its face meets the
// gauge line, standing at the height of its tread. Where the point stands out into the flange the contact angle is that
// of the flange at the point's upper edge; in the throat it is that of the face below, which a climbing wheel must
// pass; a worn face is no steeper than read. Yaw within the play of the gauge brings the flange ahead of the axle
// nearer to the tip.
//
// # Limits
//
// Sections are assumed if no drawing is public (see configs, passage.yaml): corners, widths, run-outs, the point's
// rise, the floor's ends. The tread wears alike on wings and point; a wing grooved deeper than the point is not shown.
// The axle does not roll or turn in a frog, its other wheel stays level, and its position across does not change on the
// way. Nothing yields: crushing, rail roll and loose bolts are not in it. P2 is for one wheel on an even bed; P1 is for
// information. The force of an end-on strike of a point by the flange's side is not computed. The wing of a spring frog
// stands against the point or open, and does not move under the wheel; the floor of a flange-bearing frog is flat
// across. Heavy-point frogs have no sections here and keep the plain arithmetic. On switch points the stock rail and
// point are upright, the axle is held by this rail alone, and friction, angle of attack beyond the play and speed do
// not enter the angle.
//
// # How it is computed
//
// [NewWheel] samples a shape once; it serves many frogs. rest lets it down on one head: the straight part by block
// maxima, the rounded edges from the inside out, passing over what cannot be higher; a test compares it with a search
// of every place. bearing (roll.go) rolls the wheel along the heights of one support, straight between stations, so
// that the contact ahead or behind the axle and the path's slope are exact for slopes and ends. Dips are where two
// bearings cross, found by halving; within one support, where the contact moves at once. A floor is met by the overlap
// at its edge, not by the greatest rise farther on, and the step behind a chip at the chip's depth.
//
// [Frog] solves every position across and shows that of the guard, else the one of the greatest dip. FrogPath.Forces
// adds P2 and strikes; geometry does not depend on speed. [Switch] keeps two things apart: pressed to the stock rail at
// its gauge line (tip room, contact angle), and running 3 mm off (height, transfer, outer tread). Transfers are put in
// between the stations, so the least clearance hardly depends on their distance.
package passage
