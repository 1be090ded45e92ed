// Package limit judges one reading against one book: the effective book of limits,
// made of sets that are laid over each other, tighten only.
//
// A judgement (within, beyond, straddles, not measured) is about one reading. It is
// kept apart from the verdict of a pair, which the interaction package gives.
package limit
