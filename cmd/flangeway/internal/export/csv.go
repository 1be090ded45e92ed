package export

import (
	"bufio"
	"encoding/csv"
	"io"
	"strconv"
	"strings"
	"unicode/utf8"

	"flangeway/interaction/judge"
)

// csvHead is the scalar keys of a finding.
func csvHead() []string {
	return []string{"location", "check", "feature", "car", "position", "verdict", "cause", "close", "stale",
		"margin_mm", "margin_lo_mm", "margin_hi_mm", "margin_deg", "margin_lo_deg", "margin_hi_deg", "margin_percent",
		"margin_lo_percent", "margin_hi_percent", "wheel_within_limits", "track_within_limits", "at_limit",
		"wheel_within_practice", "track_within_practice", "wheels_sharing", "plain_verdict"}
}

// CSV writes one row per finding.
func CSV(w io.Writer, in Input) error {
	buf := bufio.NewWriterSize(w, 1<<16)
	out := csv.NewWriter(buf)
	if err := out.Write(append(csvHead(), cautionHead)); err != nil {
		return err
	}
	caution := cautionCell(in.Cautions) // beside the first row
	row := func(f *judge.Finding) error {
		err := out.Write(append(csvRow(f), caution))
		caution = ""
		return err
	}
	if in.AllPairs {
		if err := in.Result.Engine().EachPair(in.Result.Tallies, row); err != nil {
			return err
		}
	} else {
		for _, l := range in.Places {
			for _, f := range l.Findings {
				if err := row(f); err != nil {
					return err
				}
			}
		}
	}
	out.Flush()
	if err := out.Error(); err != nil {
		return err
	}
	return buf.Flush()
}

func csvRow(f *judge.Finding) []string {
	j := newFinding(f)
	return []string{safe(f.Feature.Location), j.Check, safe(j.Feature), safe(j.Car), j.Position, j.Verdict,
		j.Cause, flag(j.Close), flag(j.Stale), number(j.MarginMM), number(j.MarginLoMM), number(j.MarginHiMM),
		number(j.MarginDeg), number(j.MarginLoDeg), number(j.MarginHiDeg), number(j.MarginPercent),
		number(j.MarginLoPercent), number(j.MarginHiPercent), j.WheelWithinLimits, j.TrackWithinLimits, flag(j.AtLimit),
		j.WheelWithinPractice, j.TrackWithinPractice, strconv.Itoa(j.WheelsSharing), j.PlainVerdict}
}

// safe keeps a spreadsheet from taking a name for a formula, in its full-width forms too. Only names as typed can begin
// so: every other column is a word or a number of this program.
func safe(name string) string {
	if first, _ := utf8.DecodeRuneInString(name); name != "" && strings.ContainsRune("=+-@\t\r＝＋－＠", first) {
		return "'" + name
	}
	return name
}

func flag(b bool) string {
	if b {
		return "true"
	}
	return ""
}

func number(v *float64) string {
	if v == nil {
		return ""
	}
	return strconv.FormatFloat(*v, 'f', -1, 64)
}
