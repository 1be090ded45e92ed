package export

import (
	"encoding/json"
	"fmt"
	"slices"
	"sort"
	"strings"
	"unicode"

	"flangeway/interaction"
	"flangeway/internal/measure"
)

// verdictRank orders the verdict words, the worst first.
func verdictRank(v string) int {
	for i, w := range []interaction.Verdict{interaction.Conflict, interaction.Undecided, interaction.NotMeasured,
		interaction.Clear} {
		if v == w.String() {
			return i
		}
	}
	return 9
}

// ReadReport is an earlier report, nil for anything else: what is named in one stood in sheets, which take no control
// characters.
func ReadReport(data []byte) *Report {
	var r Report
	if err := json.Unmarshal(data, &r); err != nil || r.Schema != 1 || r.Locations == nil {
		return nil
	}
	printed := []string{r.Survey.Date}
	for _, l := range r.Locations {
		printed = append(printed, l.Location)
		for _, f := range l.Findings {
			printed = append(printed, f.Feature, f.Check, f.Verdict, f.Car, f.Position)
		}
	}
	if slices.ContainsFunc(printed, func(s string) bool { return strings.ContainsFunc(s, unicode.IsControl) }) {
		return nil
	}
	return &r
}

// Changes compares the worst pair of each check and feature with an earlier report. Only what differs is listed.
func Changes(before *Report, in Input) []Change {
	type key struct{ location, feature, check string }
	notMeasured := interaction.NotMeasured.String()
	was := map[key]Finding{}
	for _, l := range before.Locations {
		for _, f := range l.Findings {
			k := key{l.Location, f.Feature, f.Check}
			if old, ok := was[k]; !ok || verdictRank(f.Verdict) < verdictRank(old.Verdict) {
				was[k] = f // the first of a verdict is the worst: findings are listed in order
			}
		}
	}
	var out []Change
	for _, l := range in.Places {
		for _, f := range l.Findings {
			now := newFinding(f)
			k := key{l.Name, now.Feature, now.Check}
			old, ok := was[k]
			delete(was, k)
			c := Change{Location: k.location, Feature: k.feature, Check: k.check, Now: inShort(now)}
			switch {
			case !ok:
				c.What = "new"
			case now.Verdict == notMeasured && old.Verdict != notMeasured: // which is neither better nor worse
				c.What, c.Was = "no longer measured", inShort(old)
			case old.Verdict == notMeasured && now.Verdict != notMeasured:
				c.What, c.Was = "now measured", inShort(old)
			case verdictRank(now.Verdict) < verdictRank(old.Verdict):
				c.What, c.Was = "worse", inShort(old)
			case verdictRank(now.Verdict) > verdictRank(old.Verdict):
				c.What, c.Was = "better", inShort(old)
			case inShort(now) != inShort(old):
				c.What, c.Was = "changed", inShort(old)
			default:
				continue
			}
			out = append(out, c)
		}
	}
	for k, old := range was {
		out = append(out, Change{Location: k.location, Feature: k.feature, Check: k.check, What: "gone",
			Was: inShort(old)})
	}
	sort.Slice(out, func(i, j int) bool {
		a, b := out[i], out[j]
		if a.Location != b.Location {
			return a.Location < b.Location
		}
		if a.Feature != b.Feature {
			return a.Feature < b.Feature
		}
		return a.Check < b.Check
	})
	return out
}

// inShort is a finding in short: verdict, wheel, margin and how many share it.
func inShort(f Finding) string {
	margin := ""
	switch {
	case f.MarginHiMM != nil:
		margin = fmt.Sprintf(", margin at most %s in (%.2f mm)", measure.NearestInch(*f.MarginHiMM, 64), *f.MarginHiMM)
		if c := interaction.CheckByID(f.Check); c != nil && c.Metric {
			margin = fmt.Sprintf(", margin at most %.2f mm", *f.MarginHiMM)
		}
	case f.MarginHiDeg != nil:
		margin = fmt.Sprintf(", margin at most %.1f deg", *f.MarginHiDeg)
	case f.MarginHiPercent != nil:
		margin = fmt.Sprintf(", margin at most %.0f percent", *f.MarginHiPercent)
	}
	return fmt.Sprintf("%s, worst %s %s%s, %d sharing", f.Verdict, f.Car, f.Position, margin, f.WheelsSharing)
}
