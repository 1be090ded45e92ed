// Package interaction holds the rules by which a wheel and a place are judged: each check has a file of its own with
// its formula, sources and fixes.
//
// A margin is positive when clear and is an interval, because every reading is one. It is the sum of two parts, one of
// the wheel and one of the place; a part knows which readings entered it, which of them are missing, and which is least
// certain. That is why a million pairs cost a million additions, and why nothing grows with the number of pairs.
//
// What was seen (marks.go, one table) stands beside the margin: it takes a clear pair back to undecided until a
// reading is taken again, and makes no verdict better. A reading that is not the row's own, because work or a trial
// has set it, makes the marks that ask for it say nothing.
//
// Package judge asks the rules of every pair of a survey, package bulk counts the pairs of a large one, package shaped
// computes what shapes and forces say, and package published computes again what documents give. None of them is known
// here. [Trial] judges single pairs.
package interaction
