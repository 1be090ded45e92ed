// Package limit is the effective book of limits: sets laid over each other, later ones by id, a regulation never
// loosened; and the judgement of single readings against it. A judgement is of one reading and one book. Whether a
// wheel and a place suit each other is another question, which is not asked here.
//
// Values are in the core unit of their quantity: mm, degrees, mph.
package limit
