package judge

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"sync"

	"flangeway/interaction"
	"flangeway/interaction/load"
	"flangeway/interaction/shaped"
	"flangeway/internal/limit"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// Finding is one pair, explained.
type Finding struct {
	Check    *interaction.Check
	Feature  *track.Feature
	Wheel    *wheel.Wheel
	Verdict  interaction.Verdict
	Cause    interaction.Cause
	Close    bool // clear with less than the reserve
	Stale    bool // clear on a reading that is old or undated
	Margin   Margin
	Readings []interaction.Entered
	// Legality, in the words yes, no, unknown, none; "" for a pair that is not measured.
	WheelWithinLimits, TrackWithinLimits     limit.Word
	WheelWithinPractice, TrackWithinPractice limit.Word
	AtLimit                                  bool // a reading straddles a regulation
	Sharing                                  int  // wheels with the same verdict at this check and feature
	CarsSharing                              int  // their cars; 0 in a list of all pairs
	// BothSharing counts, among the conflicts of the pair at this check and
	// feature, those that no regulation stops on either side.
	BothSharing int
	// OnlyWheels says that every conflict there is of a wheel that conflicts anywhere.
	OnlyWheels bool
	// Computed is what shapes and forces say, or nil; the verdict is then its, and Plain
	// that of the plain rule, as it is of a pair that is clear without what was seen.
	Computed *shaped.Computed
	Plain    interaction.Verdict
	// Doubt names the readings under a warning that the pair rests on; "" for none.
	Doubt string
	// Unloading are the shares of its load that the wheel loses, of a check that judges these.
	Unloading *load.Shares
	// AtFault says that the place is at fault and the wheel itself too: the repair of the
	// place is then measured by a reference wheel.
	AtFault bool
	// Ordinary names the reference wheels that conflict there too, AllOrdinary says that all of them do.
	Ordinary    []string
	AllOrdinary bool
	// SettleBy names what is to be read: of an undecided pair each entry decides it by itself, if
	// the other readings stay as they are; readings that only do so together are one entry.
	// What shapes or forces have judged is judged again to find them, when they are asked for; of
	// pairs that are alike, and of the trucks of a curve, the worst is, and the others have its answer.
	SettleBy           func() []string
	FixWheel, FixTrack []string
	// Evidence is what was seen and tells against what the readings say.
	Evidence []Evidence
	Notes    []string
}

// Margin is a margin in mm, degrees or percent; a part that is not known is absent.
type Margin struct {
	Degrees bool
	Percent bool     // of the static wheel load
	Metric  bool     // printed in mm
	As      *float64 // with the readings as written
	Lo, Hi  *float64
}

// BothLegal reports a conflict of the pair that no regulation stops on either side.
func (f *Finding) BothLegal() bool {
	return f.Verdict == interaction.Conflict && f.Cause == interaction.CausePair && !f.WheelWithinLimits.Stops() &&
		!f.TrackWithinLimits.Stops()
}

// Unmarked reports an undecided finding that is clear by its readings and would be so without what was seen.
func (f *Finding) Unmarked() bool {
	return f.Verdict == interaction.Undecided && slices.ContainsFunc(f.Evidence,
		func(v Evidence) bool { return v.Passes == 0 })
}

// LookAt is what to look at if no reading of the sheets settles an undecided finding; "" if one does.
func (f *Finding) LookAt() string {
	if f.Verdict != interaction.Undecided || len(f.SettleBy()) > 0 {
		return ""
	}
	return f.Check.Look
}

// Settle is what settles a finding: the readings to take, or that none can and what to look at.
func (f *Finding) Settle() []string {
	if at := f.LookAt(); at != "" {
		return []string{"none in the sheets; look at " + at}
	}
	return f.SettleBy()
}

// finding explains a pair.
func (e *Engine) finding(t *Tally, wi int, m judged) *Finding {
	ws, ps := &e.wheels[wi], &e.places[t.Place]
	pt := &ps.tables[t.table]
	c, k := t.Check, pt.Check
	f := &Finding{Check: c, Feature: t.Feature, Wheel: ws.W, Verdict: m.Verdict, Cause: e.causeOf(pt, wi),
		Sharing: t.Counts[m.Verdict], BothSharing: t.BothLegal,
		OnlyWheels: t.Cause != interaction.CausePlace && t.Counts[interaction.Conflict] > 0 &&
			t.Wheel == t.Counts[interaction.Conflict],
		Computed: m.computed, Plain: m.plain,
		Margin: Margin{Degrees: c.Degrees, Percent: c.Percent, Metric: c.Metric}}
	if m.Verdict != interaction.NotMeasured {
		f.WheelWithinLimits, f.WheelWithinPractice = ws.legal[k].Limits.Word, ws.legal[k].Practice.Word
		f.TrackWithinLimits, f.TrackWithinPractice = pt.legal.Limits.Word, pt.legal.Practice.Word
		f.AtLimit = ws.legal[k].Limits.AtLimit || pt.legal.Limits.AtLimit
		if !m.NoHi {
			f.Margin.Hi = new(m.Hi)
		}
		if !m.NoLo {
			f.Margin.Lo = new(m.Lo)
		}
		if !m.NoAs {
			f.Margin.As = new(m.As)
		}
	}
	if m.Verdict == interaction.Clear {
		f.Close = m.Lo < c.CloseBelow(e.Rules)-measure.Near || m.computed != nil && m.computed.ByAssumption
		f.Stale = ws.stale[k] || ps.stale && pt.Part.Uses != 0
	}
	if k := m.computed; k != nil && k.OfPassage() {
		f.Computed = k.Tell()
		if f.Computed.Assumed != "" {
			f.Notes = append(f.Notes, "close by what was assumed: "+f.Computed.Assumed)
		}
		f.Close = f.Close || k.Close
	}
	f.Readings = append(c.WheelPart(e.Rules, ws.W, true).Entered, c.PlacePart(e.Rules, t.Feature, true).Entered...)
	doubts := e.doubts(wi, ps, pt)
	f.SettleBy = sync.OnceValue(func() []string { return e.settleBy(pairAt{t.Place, t.table, wi}, m, doubts) })
	e.besides(f, m)
	f.Ordinary = pt.Ordinary
	f.AllOrdinary = !slices.ContainsFunc(interaction.ReferenceNames(e.Survey.Data),
		func(name string) bool { return !slices.Contains(pt.Ordinary, name) })
	f.AtFault = e.leadOf(wi, ps, pt, m.Verdict) == faultOfItsOwn
	x := interaction.Fix{Wheel: ws.W, Feature: t.Feature, Rules: e.Rules, Margin: m.Margin, By: c.CloseBelow(e.Rules)}
	if m.Verdict == interaction.Conflict || m.Verdict == interaction.Undecided {
		open := c.OpenEnd(e.Rules, ws.W, t.Feature)
		if m.NoLo || open {
			x.By -= m.Hi
		} else {
			x.By -= m.Lo
		}
		if k := m.computed; k != nil && k.OfPassage() && !open { // it may ask for more than the plain margin
			x.By = math.Max(x.By, c.CloseBelow(e.Rules)-k.Low)
		}
		switch k := m.computed; {
		case m.against != 0: // the readings ask for nothing
		case open && x.By <= measure.Near && len(f.SettleBy()) > 0:
			first := []string{"read " + strings.Join(f.SettleBy(), " or ") +
				" as a figure first: what there is to do depends on it"}
			f.FixWheel, f.FixTrack = first, first
		case k == nil || k.Mechanism != "" || x.By > measure.Near: // else the plain margin asks for nothing
			f.FixWheel, f.FixTrack = c.FixWheel(x), c.FixTrack(x)
			if f.AtFault {
				by := interaction.Fix{Wheel: pt.byReference, Feature: t.Feature, Rules: e.Rules, Margin: pt.referenceM,
					By: c.CloseBelow(e.Rules) - pt.referenceM.Lo}
				f.FixTrack = c.FixTrack(by)
			}
			if open {
				f.Notes = append(f.Notes, "a go/no-go reading has no value of its own: the figures of the fixes are "+
					"the least that is needed")
			}
		}
	}
	if c.Notes != nil {
		f.Notes = append(f.Notes, c.Notes(x)...)
	}
	f.Evidence = e.evidence(f, pairAt{t.Place, t.table, wi}, m)
	for _, v := range f.Evidence {
		f.Notes = append(f.Notes, v.Text())
	}
	if m.against != 0 && m.computed == nil {
		f.Plain = interaction.Clear
	}
	if f.Computed != nil && f.Verdict > f.Plain {
		f.Notes = append(f.Notes, fmt.Sprintf("the plain rule gives %s, shapes and forces better: %s", f.Plain,
			f.Verdict))
	}
	if f.Computed != nil {
		if s := f.Computed.RangeNote(e.Rules, f.Plain); s != "" {
			f.Notes = append(f.Notes, s)
		}
	}
	if why := notComputed(pt, wi); why != "" && m.Verdict != interaction.NotMeasured {
		f.Notes = append(f.Notes, "the plain rule stands, not computed: "+why)
	}
	if ps.doubts&pt.Part.Uses != 0 {
		f.Notes = append(f.Notes, "rests on readings that contradict each other: "+t.Feature.Contradiction())
	}
	if doubts != 0 {
		f.Doubt = e.doubtful(wi, t.Feature, doubts)
		if m.Verdict == interaction.Conflict || m.Verdict == interaction.Undecided {
			f.FixWheel, f.FixTrack = nil, nil
			f.Notes = append(f.Notes, "read again first what is under a warning, since no repair is measured by it: "+
				f.Doubt)
		}
	}
	return f
}

// besides adds to a finding what its check says of the pair besides its margin.
func (e *Engine) besides(f *Finding, m judged) {
	c := f.Check
	x := interaction.Fix{Wheel: f.Wheel, Feature: f.Feature, Rules: e.Rules, Margin: m.Margin}
	if c.Assumes != nil && m.Verdict == interaction.Clear {
		if s := c.Assumes(x); s != "" {
			f.Close = true
			f.Notes = append(f.Notes, "close by what was assumed: "+s)
		}
	}
	if c.Unloading != nil {
		f.Unloading = c.Unloading(x)
	}
}

// notComputed is why a pair that could be computed was not; "" if it was, or nothing is.
func notComputed(pt *placeTable, wi int) string {
	switch {
	case pt.Computed == nil:
		return ""
	case pt.Computed[wi] == nil:
		return "only two-axle trucks of four-axle cars are" // the curves'
	case pt.Computed[wi].Skipped:
		return pt.Computed[wi].Why
	}
	return ""
}

// Text writes a reading of a finding back as the trade writes it.
func (e *Engine) Text(r interaction.Entered) string {
	if r.Default {
		return r.Reading.Written
	}
	return PrintReading(e.Survey.Columns, r.Quantity, r.Reading)
}

// PrintReading writes a reading as the trade writes it, in ASCII.
func PrintReading(columns map[string]measure.Spec, quantity string, r measure.Reading) string {
	spec, ok := columns[quantity]
	switch {
	case quantity == track.Degree.String() && r.Measured():
		return strings.TrimSuffix(strings.TrimRight(strconv.FormatFloat(r.As, 'f', 2, 64), "0"), ".") + " deg"
	case !ok:
		return r.Written
	}
	return spec.Print(r.Written)
}
