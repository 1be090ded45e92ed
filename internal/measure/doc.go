// Package measure holds what a gauge bar, a ruler or a wheel gauge gave: a length as written, and the reading it makes,
// which is an interval with a place in a sheet and never a point.
//
// Core values are millimetres (lengths) and degrees (angles). Inches live at the edges: [MMPerInch] is the only place
// where 25.4 is written.
//
// How wide the interval of a reading is depends on how it was written (a sixteenth is ±1/32 in, a decimal is ± half its
// last digit); the rules are those of [Spec.Parse].
package measure
