// Package judge judges the pairs of a survey: every wheel against every feature to which a
// check applies.
//
// Steps of a run: [New] prepares the parts of every wheel and every place;
// [Engine.Compute] lays over them what shapes and forces say, where that is asked for;
// [Engine.Judge] walks over all pairs once and keeps counts and the worst pair of
// each check and feature; [Engine.EachPair] walks again for a caller who wants
// every pair. A [Finding] is one pair explained: whose fault it is, what settles it, what
// mends it.
package judge
