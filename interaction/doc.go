// Package interaction judges pairs: every wheel against every feature its checks
// apply to. Each check has a file of its own with its formula, sources and fixes.
//
// A margin is positive when clear and is an interval, since every reading is one.
// It is the sum of two parts, one of the wheel and one of the place; a part knows
// which readings entered it, which of them are missing, and which is least
// certain. That is why a million pairs cost a million additions, and why nothing
// grows with the number of pairs.
//
// Steps of a run: [New] prepares the parts of every wheel and every place;
// [Engine.Compute] lays over them what shapes and forces say, where that is asked for;
// [Engine.Judge] walks over all pairs once and keeps counts and the worst pair of
// each check and feature; [Engine.EachPair] walks again for a caller who wants
// every pair.
package interaction
