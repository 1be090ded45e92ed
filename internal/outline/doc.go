// Package outline holds plane shapes: a wheel or a rail cut across, as a chain of points with their tangents and
// curvatures. It samples lines, arcs and polynomials exactly, moves, turns, mirrors and cuts shapes, sees them as a
// height over the lateral coordinate ([Curve]), and makes a shape of a noisy trace ([Clean]).
//
// All lengths are mm, all angles radians, curvatures 1/mm. The lateral coordinate is y, the other one z; the chain runs
// toward growing y as a whole, though a part of it may stand upright or hang over.
package outline
