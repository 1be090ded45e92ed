// Package curving computes how a truck of two or three axles runs steadily through a curve: where its axles stand, at
// which angle they attack, what its wheels do to the rails, and how far that is from climbing, from turning a rail over
// and from spreading the gauge.
//
// # Frame and signs
//
// x points forward, y to the high rail. A shift is positive to the high rail, at rail level; an angle of attack is
// positive if the axle points at the high rail. L of a wheel is positive toward the field side of its own rail. Lengths
// are mm, forces N, moments N·mm, angles rad, speeds m/s. The near side of a contact.Axle is the high rail.
//
// # Contact
//
// NewFlank lays one wheel on one rail with package contact, over sideways places to beyond flange contact; NewTable and
// Join make an axle of two of them, whatever its gauge and back-to-back. The roll of the axle is left out: a few
// thousandths of a radian if one wheel is hollow, which turns both contacts the same way and moves no result here in
// the second digit. At each place a wheel's static load is spread over strips 0.3 mm wide: all go into the rail by the
// same upright amount less their gap, each carries in proportion to penetration^1.5 and the root of the rolling radius,
// the stiffness matched to Hertz on a 300 mm crown. So tread and flange, or tread and false flange, share the load over
// a few hundredths of a millimetre of shift, as elastic bodies do, where rigid ones jump. The undeformed shapes are let
// into each other by 0.3 of Hertz's approach. 0.55 (Piotrowski and Kik 2008, from memory) would give the strips Hertz's
// width; but the load sits nearer to the middle of an ellipse than of the strips, and 0.3 is our own choice between
// that and a rigid point. Between 0.1 and 0.55 the L/V of a sharp curve moves by up to 0.06 where the throat fits into
// the rail's corner, elsewhere by less than 0.02.
//
// Strips that hang together are one contact, with the ellipse of Hertz for its load, its rolling radius and the
// curvature its depth and width stand for, and with Kalker's coefficients. It is cut into parts about 6 mm long, each
// with its own angle, radius and share, so that a contact which reaches from the tread into the throat is several.
// Between shifts everything is a mean of three neighbours with B-spline weights.
//
// # Forces
//
// Creepages of a part, s its distance from the middle of the track, R the curve's radius, r its rolling radius, r0 the
// mean radius, e the axle's slip, d the contact angle, psi the angle of attack: along ±s/R - (r - r0)/r0 - e r/r0,
// across
// -psi/cos(d), spin -sin(d)/r - cos(d)/R outside and +sin(d)/r - cos(d)/R inside. Linear
// law of Kalker with spin in the lateral force; the resultant is saturated by the cubic of Vermeulen and Johnson (Shen,
// Hedrick and Elkins 1983). Polach's law of 1999 is the second law, in the tests. The moment of spin about the normal
// is left out. Friction is given for the top and the gauge face of each rail; between contact angles of 20 and 45
// degrees it goes over from one to the other (our own bounds).
//
// Each wheel's normal load is that with which its contacts, friction included, carry its upright load: half the axle
// load and what cant deficiency moves over, W x h/(2s), x the unbalanced acceleration over gravity, h the height of the
// centre of gravity. Each axle turns at the speed of no net torque. The truck's lateral forces balance W x on each
// axle; its moments balance the turning moment of centre plate and side bearings, which acts on the bolster. In a
// three-piece frame bolster and axles turn together against the side frames by the warp, against its stiffness.
//
// # Solution
//
// Nine unknowns: place, yaw and warp of the truck, slip and both load factors of each axle; of three axles thirteen:
// the middle one also stands somewhere in the frame, which it turns with. Within its clearance the frame gives it no
// lateral force but a hundred-thousandth of its load for each millimetre, so that it has a place where nothing else
// gives it one; beyond, it is stopped. What speed and elevation push to a side comes on the axles that the frame holds.
// The truck rolls from where it starts until nothing changes. Within a step of the march the creepages have the axles'
// lateral and turning speed in them, as on the way in, and a damping that is gone when nothing moves; a step is only so
// long that the truck keeps to the way it was on. Damped Newton solves each step and, at the end, the steady equations.
// A state counts if a small push from it does not grow by itself (the sign of the determinant of the steady equations,
// whatever the damping): others are points that no truck comes to rest in.
//
// A truck on hollow wheels can stand in several states. So it starts three times: from tangent track with a curve that
// begins over 160 half wheelbases, and in the curve from either rail. Solution.States are all that it comes to, each
// once, and the worst of them is the answer. Put into the middle of the track in the curve, no truck came to another
// one. Against steps of 0.35 m from these starts and from the middle no worse state was missed in 1,050 trucks of the
// volume test, 170 of which have several. Axles whose difference of rolling radii grows all the way from flange to
// flange, as on wheels that are not hollow, steer back from wherever they are: their one state is solved for at once.
// Solution.Residual is the force left unbalanced, over the axle load; if a start leads to no state the solution has
// Converged false and a Reason, and is no answer. Iterations are at most MostIterations from one start.
//
// If a flange cannot hold the lateral force even at its steepest place, the wheel is kept there: Solution.Climbs is
// set, Wheel.Missing is the force that no rail gives, and the climb margin is negative.
//
// # Limits
//
// Nadal's limit is taken at the angle of the steepest face that wheel and rail both have, over which a climbing wheel
// must be lifted by a millimetre, not at the angle at which it happens to bear; with the friction of the gauge face. An
// axle's sum adds the friction of the other rail's top. The climb distance takes the flange's arc from where it is
// steepest to 26.6 degrees. A guard rail along the curve takes the climb of the lead high wheel away: it is taken to
// bear before that flange rises, and Solution.Guard is the most that comes on it. Rollover is judged by truck side,
// never by one wheel: (b/2 + e)/h is the bound of a rail held by nothing. Between it and the bound plus what fastenings
// add nothing is decided.
//
// # What is left out, and where not to believe it
//
//   - What twist of the track and a load to one side do but for the load that
//     Truck.Shift puts from one rail on the other; sloshing, the run-in and draft of a train,
//     rough track, speed effects, hunting, the spiral: the truck runs steadily, with the
//     load that speed and elevation put on its wheels.
//   - The height of the lateral forces between frame and axles: they act at rail level
//     here, which moves no load from wheel to wheel of an axle.
//   - Axles are square to each other and rigid in the frame, but for a middle one's way sideways;
//     adapters, steering pads and clearances are in the warp stiffness only. Traction motors,
//     springs over a middle axle and how a frame equalises: the axles of a truck carry alike.
//   - The lead of a flange contact before the axle under an angle of attack, some 10 mm.
//   - Rails stand still: gauge under load is reckoned afterwards from the spreading
//     force (LoadedGauge), not fed back; canted rails are judged for rollover as upright.
//   - The split of load between two contacts is that of the static load.
//   - On a flange that attacks at less than LeastAttack the cubic law gives 0.14 to 0.2 of friction
//     more across than an integration in strips with spin; the command says so.
//   - A small ellipse is no model of a throat that fits a worn rail corner, nor of a
//     wheel on an edge; forces there are right in trend.
//   - Flat climbs, switch points, frogs, broken flanges.
//
// L/V and angle of attack of a rigid truck agree with an independent second program within 10 and 15 percent
// (regress_test.go). No published values were found of a three-piece truck by degree of curve or warp stiffness: what
// is computed there is tested by trend only, and should be said so beside it.
package curving
