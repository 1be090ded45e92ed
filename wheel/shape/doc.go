// Package shape holds the shape of a wheel: designs as new, worn wheels rebuilt from hand gauge readings, traced
// profiles, and what a lathe makes of them. y is in mm from the tape line, positive to the field; z is in mm, positive
// toward the flange tip, so that z is what a place adds to the radius. Every vertex of an outline carries its direction
// and curvature, so gauges and contact read between vertices as on the curve itself.
//
// Designs stand in configs (shapes.yaml): exact ones (S1002) and those built from quoted dimensions; radii from memory
// are marked so. [New] errs if arcs do not meet. gauge.go lays the hand gauges on any shape, trace.go turns a traced
// profile into one, with a quality report.
//
// # Wear
//
// The model is in worn.go, all of it assumed: the tip and the back do not wear; tread wear is even over the width plus
// a hollow between the throat and 40 mm outside the tape line; the throat moves with the face; the face leans as
// designed or stands upright to the height read. It does not know rolled-over field edges, steps, grooves or a battered
// tip. Rebuild makes the shape that reads back within 0.1 mm or says which readings contradict each other; RebuildFrom
// sets aside as few readings as possible (vertical flange, then height, then thickness, never the hollow) and says so;
// Worn.Extremes are the shapes at the ends of the intervals. [Of] takes the design by the flange's thickness if the
// sheet names none.
//
// # Lathe
//
// lathe.go lowers the full profile into the worn one: the least cut in sixteenths, or the thickest flange that a cut
// allows.
package shape
