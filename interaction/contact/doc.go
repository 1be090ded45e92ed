// Package contact lays both wheels of an axle on both rails as rigid bodies, the roll of the axle solved, over a range
// of lateral shifts: where they touch, at which angle and rolling radius, and what follows from that (rolling radius
// difference, equivalent conicity, wavelength, the Hertz ellipse).
//
// Near is the side toward which a positive shift moves the axle, far the other one. Lengths are mm, forces N, angles
// rad, stresses N/mm² (MPa). The shift is that of the axle's own point at rail level (where the contacts lie when the
// axle stands in the middle). Contact angles are taken from the track plane and are positive if the wheel's radius
// grows toward the flange.
//
// [Study] is everything that the shape command asks, Study.Over the same over other shapes. Rolling radius difference,
// conicity (three methods of EN 15302) and the contact ellipse (Hertz) are compared with published and closed-form
// values by the command sources. Bodies are rigid: if shapes fit into each other ([ErrConformal]) there is no ellipse.
package contact
