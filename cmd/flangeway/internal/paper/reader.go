package paper

import (
	"flangeway/interaction"
	"flangeway/interaction/plan"
)

// The words below are those of the text page, for other pages to use.

// MarginText is a margin against the reading error with its unit.
func MarginText(m interaction.Margin) string { return marginText(m) }

// ShownMargin is the margin that a finding's verdict is of: the computed one where there
// is one.
func ShownMargin(f *interaction.Finding) string { return shownMargin(f) }

// NeedsText names the readings that would settle a finding.
func NeedsText(f *interaction.Finding) string { return needs(f) }

// LegalText says what a federal rule stops: no rule stops either side, the wheel, the
// track, both, not known.
func LegalText(f *interaction.Finding, federal bool) string { return legalText(f, federal) }

// LimitsText says so in a sentence, with the other books.
func LimitsText(f *interaction.Finding, federal bool) string { return limitsText(f, federal) }

// CauseText says whose fault a conflict is.
func CauseText(f *interaction.Finding) string { return causeText(f) }

// SettleText says how a finding that is no conflict is settled.
func SettleText(f *interaction.Finding) string { return settleText(f) }

// WorstFirst orders locations by their rank.
func WorstFirst(places []interaction.Location, risks []plan.Risk) []interaction.Location {
	return worstFirst(places, risks)
}

// Ranks are risks by location.
func Ranks(risks []plan.Risk) map[string]plan.Risk { return ranks(risks) }

// Counts sums the verdicts of a location, in the order of the verdicts.
func Counts(l interaction.Location) [4]int { return counts(l) }

// ClassName words a class.
func ClassName(class string) string { return className(class) }

// Explained picks the findings to explain: as they are listed, but of those that hurt
// alike with the same verdict the ones first that no federal limit stops.
func Explained(findings []*interaction.Finding) []*interaction.Finding {
	return (&checkPage{}).explained(findings)
}
