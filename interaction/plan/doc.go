// Package plan turns the findings of a survey into decisions: how often each conflict
// is met, the cheapest set of repairs, turnings and holds that removes them, what a
// budget removes, what to measure next and when limits are reached. All judging is done
// by the plain rules of package interaction. Money is in hundredths of the survey's
// currency, crew days in thousandths, lengths in mm.
package plan
