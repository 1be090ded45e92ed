// Package shaped gives verdicts by shape and force: of a wheel that passes a frog or a
// switch point, and of a truck in a curve, with what would mend it. A [Computer] is given the
// rules, the wheels and the places, and fills in what it computes; it asks no check's name,
// but how shapes judge it ([interaction.Passing]).
package shaped
