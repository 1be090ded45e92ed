// Package shape holds the shapes of track: rail heads as new, worn and traced, and the sections of frogs and switch
// points at any station. Lengths are in mm.
//
// Rail heads: y from the middle of the rail, z below the unworn top. A record whose arcs do not meet is an error.
//
// Sections of frogs and points: y from the gauge line of the route that is run (of a switch from the present gauge side
// of the stock rail), positive to the field; z below the tread plane, positive down; x along the track toward the heel,
// from the theoretical point (of a switch from the tip). A frog is made in three steps: its plan by number and type,
// unworn (frog_plan.go), the readings, then the model, whose section at x is a handful of heads (a flat, sloped or
// crowned top with rounded edges) and a floor, in closed form (frog_section.go). switch_section.go has the same for a
// closed point. No drawing of a frog or switch was read: the details stand in configs (passage.yaml), and each answer
// lists those that entered.
package shape
