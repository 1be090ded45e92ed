package interaction

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
	"flangeway/wheel"
)

// Part is one side's share of a margin, mm or degrees.
type Part struct {
	Lo, Hi, as float64
	// Firm is the least by what was written, without what a reading may err; as if every reading is one value.
	Firm    float64
	blurred bool    // a one-sided reading entered: there is no value as written
	Uses    Mask    // readings that entered
	Missing Mask    // readings that are missing
	Vague   Mask    // readings that would narrow the part and did not enter as values
	vague   opening // what they leave open, known together
	// openings are what each of the readings that entered leaves open.
	openings [3]opening
	// low marks a part whose lo is not known: only a conflict can be proven. noHi marks
	// one whose hi is not known and infinite: only a clear pair can be.
	low, NoHi bool
	face      faceAngle // of a switch: the shallowest face, degrees
	car       *carLoad  // of a car: what enters the loads of its wheels
	twisted   *twisted  // of a place: what does
	seen      seen      // marks
}

// faceAngle is the shallowest face of point and stock rail in degrees.
type faceAngle struct {
	lo, hi, as float64
	blurred    bool
}

// sum builds a part from readings and settings.
type sum struct {
	Part
	rules     *Rules
	recording bool
	Entered   []Entered
	widths    []float64 // of the readings added, while recording
	traced    *[]term   // where the readings that enter are noted; nil for nowhere
}

// term is a reading that enters a part, and with which sign.
type term struct {
	Bit  uint
	Sign float64
}

// Entered is one reading, or the default in place of one, that a margin rests on.
type Entered struct {
	Side     string // "wheel" or "track"
	Quantity string
	Of       string // "mate" for a reading of the other wheel of the axle
	Reading  measure.Reading
	Angular  bool // Lo and Hi are degrees
	Figure   bool // Lo and Hi are a plain number: pounds, percent
	Default  bool // not read: a setting, a design's figure or a section's
	From     string
	Setting  string // the name of the setting that it is, or stands for
}

// Rules holds what the checks need besides the two sides: the settings with their
// values at hand, and the built-in data.
type Rules struct {
	settings survey.Settings
	values   map[string]float64
	data     *configs.Data
}

// BuiltIn is a setting as it is built in, mm or degrees.
func (r *Rules) BuiltIn(name string) float64 {
	if i := slices.IndexFunc(r.data.Settings, func(s configs.Setting) bool { return s.Name == name }); i >= 0 {
		return r.data.Settings[i].Value
	}
	return math.NaN()
}

// Reach is the most by which a work changes the dimension that it mends, mm.
func (r *Rules) Reach(work string) float64 { return r.data.Reach(work) }

// NewRules prepares the settings of a survey.
func NewRules(settings survey.Settings, data *configs.Data) *Rules {
	r := &Rules{settings: settings, values: map[string]float64{}, data: data}
	for _, s := range settings.All() {
		r.values[s.Name] = s.Value
	}
	return r
}

// Value is a setting in mm or degrees.
func (r *Rules) Value(name string) float64 {
	if v, ok := r.values[name]; ok {
		return v
	}
	return math.NaN()
}

// Given reports whether the railroad gave a setting itself.
func (r *Rules) Given(name string) bool {
	return slices.ContainsFunc(r.settings.All(), func(s configs.Setting) bool { return s.Name == name && s.Given })
}

// constant adds a figure of the check itself.
func (s *sum) constant(v float64) {
	s.Lo, s.Hi, s.as, s.Firm = s.Lo+v, s.Hi+v, s.as+v, s.Firm+v
}

// setting adds a setting, which has no ±.
func (s *sum) setting(sign float64, name string) {
	s.constant(sign * s.rules.Value(name))
	s.note(name)
}

// note records a setting that entered.
func (s *sum) note(name string) {
	if !s.recording {
		return
	}
	set, _ := s.rules.settings.Setting(name)
	s.Entered = append(s.Entered, Entered{Side: "", Quantity: name, Reading: measure.Exact(set.Value, set.Text()),
		Angular: set.Unit == "deg", Figure: !slices.Contains([]string{"in", "mm", "deg"}, set.Unit), Default: true,
		From: "setting", Setting: name})
}

// reading adds sign times a reading, or names it as missing.
func (s *sum) reading(sign float64, bit uint, e Entered) {
	r := e.Reading
	if !r.Measured() {
		s.Missing |= 1 << bit
		return
	}
	s.enter(bit, e)
	if s.traced != nil {
		*s.traced = append(*s.traced, term{bit, sign})
	}
	s.opens(bit, r.Width(), r.Width())
	if s.recording {
		s.widths = append(s.widths, r.Width())
	}
	if r.OneSided() {
		s.blurred = true
	}
	s.as += sign * r.As
	if sign > 0 {
		s.Lo, s.Hi, s.Firm = s.Lo+sign*r.Lo, s.Hi+sign*r.Hi, s.Firm+sign*LeastWritten(r)
	} else {
		s.Lo, s.Hi, s.Firm = s.Lo+sign*r.Hi, s.Hi+sign*r.Lo, s.Firm+sign*mostWritten(r)
	}
}

// LeastWritten and mostWritten are the ends of what a reading says: one value for one value, however much it may err,
// the ends of a range, the given end of a one-sided reading and what it leaves open on the other side.
func LeastWritten(r measure.Reading) float64 {
	if r.Form == measure.Below || r.Form == measure.Range {
		return r.Lo
	}
	return r.As
}

func mostWritten(r measure.Reading) float64 {
	if r.Form == measure.Above || r.Form == measure.Range {
		return r.Hi
	}
	return r.As
}

// addGreater adds sign times the greater of two readings that are there, end by end.
func (s *sum) addGreater(sign float64, bitA, bitB uint, a, b Entered) {
	x, y := a.Reading, b.Reading
	both := measure.Reading{As: math.Max(x.As, y.As), Lo: math.Max(x.Lo, y.Lo), Hi: math.Max(x.Hi, y.Hi)}
	if sign > 0 {
		s.Lo, s.Hi = s.Lo+sign*both.Lo, s.Hi+sign*both.Hi
	} else {
		s.Lo, s.Hi = s.Lo+sign*both.Hi, s.Hi+sign*both.Lo
	}
	s.as += sign * both.As
	for _, e := range []struct {
		bit uint
		Entered
		other measure.Reading
	}{{bitA, a, y}, {bitB, b, x}} {
		s.enter(e.bit, e.Entered)
		if s.traced != nil {
			*s.traced = append(*s.traced, term{e.bit, sign})
		}
		s.blurred = s.blurred || e.Reading.OneSided()
		// Known, it moves the ends of the greater no farther than to the other's.
		high := both.Hi - math.Max(e.Reading.Lo, e.other.Hi)
		low := math.Max(e.Reading.Hi, e.other.Lo) - both.Lo
		if sign > 0 {
			high, low = low, high
		}
		s.opens(e.bit, high, low)
	}
	if s.recording {
		s.widths = append(s.widths, both.Width())
	}
}

// enter marks a reading as one that the margin rests on.
func (s *sum) enter(bit uint, e Entered) {
	if !e.Default {
		s.Uses |= 1 << bit
	}
	if s.recording {
		s.Entered = append(s.Entered, e)
	}
}

// opening is what one reading leaves open of a part: known, it may raise the lower end of the
// part by up, or lower its upper end by down.
type opening struct {
	bits     Mask
	up, down float64
}

// opens notes what a reading leaves open.
func (s *sum) opens(bit uint, up, down float64) {
	if math.Max(up, down) <= near {
		return
	}
	for i := range s.openings {
		if s.openings[i].bits == 0 {
			s.openings[i] = opening{1 << bit, up, down}
			return
		}
	}
}

// wheelSum builds the wheel's part.
type wheelSum struct {
	sum
	w *wheel.Wheel
}

// add adds sign times a reading of the wheel or of its axle.
func (s *wheelSum) add(sign float64, q wheel.Quantity) {
	s.reading(sign, uint(q), Entered{Side: "wheel", Quantity: q.String(), Reading: s.w.Read(q)})
}

// addSpread adds sign times the greatest back-to-back, or the least if the greatest was not read.
func (s *wheelSum) addSpread(sign float64) {
	if s.w.Read(wheel.BackToBackMax).Measured() {
		s.add(sign, wheel.BackToBackMax)
		return
	}
	s.add(sign, wheel.BackToBack)
}

// addMate adds sign times the mate's flange thickness.
func (s *wheelSum) addMate(sign float64) {
	var r measure.Reading
	if m := s.w.Mate(); m != nil {
		r = m.Read(wheel.FlangeThickness)
	}
	s.reading(sign, MateThickness, Entered{Side: "wheel", Quantity: wheel.FlangeThickness.String(), Of: "mate",
		Reading: r})
}

// addMateRim adds the mate's rim width: its reading, else its design's, else the setting.
func (s *wheelSum) addMateRim() {
	e := Entered{Side: "wheel", Quantity: wheel.RimWidth.String(), Of: "mate"}
	v, from, setting := s.rules.Value("rim_width"), "setting rim_width", "rim_width"
	if m := s.w.Mate(); m != nil {
		if e.Reading = m.Read(wheel.RimWidth); e.Reading.Measured() {
			s.reading(1, MateRimWidth, e)
			return
		}
		if d, ok := s.rules.data.Design(m.Design); ok {
			v, from, setting = d.RimWidth, "design "+d.Name+configs.MemoryMark(d.Sure), ""
		}
	}
	s.constant(v)
	if s.recording {
		e.Reading, e.Default, e.From, e.Setting = measure.Exact(v, measure.Inch(v)), true, from, setting
		s.Entered = append(s.Entered, e)
	}
}

// PlaceSum builds the place's part.
type PlaceSum struct {
	sum
	F *track.Feature
}

// add adds sign times a reading of the feature.
func (s *PlaceSum) add(sign float64, q track.Quantity) {
	s.reading(sign, TrackBit+uint(q), s.of(q))
}

// of is a reading of the feature as one that may enter.
func (s *PlaceSum) of(q track.Quantity) Entered {
	return Entered{Side: "track", Quantity: q.String(), Reading: s.F.Read(q), Angular: q.Angular()}
}

// Margin is a pair's margin with its verdict and the readings that would decide it.
type Margin struct {
	Verdict    Verdict
	Lo, Hi, As float64 // mm or degrees
	Firm       float64 // the least by what was written, if the parts add up
	// NoLo, NoHi, NoAs: lo, hi, as are not known
	NoLo, NoHi, NoAs bool
	Settle           Mask // readings that would decide, of an undecided or not measured pair
	// Together says that none of them decides an undecided pair alone, and all of them do.
	Together bool
}

// total is the margin of two parts that add up.
func total(w, p *Part) Margin {
	if missing := w.Missing | p.Missing; missing != 0 {
		return Margin{Verdict: NotMeasured, Settle: missing}
	}
	m := Margin{Lo: w.Lo + p.Lo, Hi: w.Hi + p.Hi, As: w.as + p.as, Firm: w.Firm + p.Firm}
	if p.NoHi {
		if m.Lo < -near {
			return Margin{Verdict: NotMeasured, Settle: p.Vague}
		}
		m.NoHi, m.NoAs, m.Verdict = true, true, Clear
		return m
	}
	m.NoAs = w.blurred || p.blurred || w.Vague != 0 || p.Vague != 0
	m.Verdict = VerdictOf(m.Lo, m.Hi)
	m.Settle = w.Vague // an allowance that rests on a guess is named, whatever the verdict
	if m.Verdict == Undecided {
		m.Settle, m.Together = settling(m.Lo, m.Hi, w, p)
	}
	return m
}

// settling names the readings that would decide a margin from lo to hi, if the others stay as
// they are: those that stand for something that was not read at all, else the least certain
// ones. Where none does it alone they are named that do it together.
func settling(lo, hi float64, w, p *Part) (Mask, bool) {
	decide := func(o opening) bool { return lo+o.up >= -near || hi-o.down < -near }
	var by opening
	vague := w.Vague | p.Vague
	if vague != 0 {
		by = opening{vague, w.vague.up + p.vague.up, w.vague.down + p.vague.down}
		if bits.OnesCount64(uint64(vague)) == 1 && decide(by) || hi-by.down < -near { // the worse end takes one
			return vague, false
		}
	}
	list := openings(w, p)
	var alone Mask
	for _, o := range list {
		if vague == 0 && decide(o) && o.wide() >= list[0].wide()-near {
			alone |= o.bits
		}
	}
	if alone != 0 {
		return alone, false
	}
	for i := 0; i < len(list) && !(by.bits != 0 && decide(by)); i++ {
		by.bits, by.up, by.down = by.bits|list[i].bits, by.up+list[i].up, by.down+list[i].down
	}
	return by.bits, true
}

// Open are the readings that leave a pair open, and those that would narrow it and are not there.
func Open(w, p *Part) Mask {
	m := w.Vague | p.Vague
	for _, o := range openings(w, p) {
		m |= o.bits
	}
	return m
}

// openings are what the readings of both sides leave open, the widest first.
func openings(w, p *Part) (list []opening) {
	for _, part := range []*Part{w, p} {
		for _, o := range part.openings {
			if o.bits != 0 {
				list = append(list, o)
			}
		}
	}
	slices.SortStableFunc(list, func(a, b opening) int { return cmp.Compare(b.wide(), a.wide()) })
	return list
}

// wide is by how much a reading may move an end.
func (o opening) wide() float64 { return math.Max(o.up, o.down) }

// OnGrid is a margin in whole parts of [near]. Ends that agree there are one figure
// written in two ways; sums in floating point would tell them apart by chance.
func OnGrid(v float64) float64 { return math.Round(v / near) }

// Worse orders margins as findings are listed: by verdict, then the lower upper
// end, then the lower lower end. Equal ones keep the order of car and position.
func Worse(a, b Margin) bool {
	if a.Verdict != b.Verdict {
		return a.Verdict < b.Verdict
	}
	if a.Verdict == NotMeasured {
		return false
	}
	if x, y := OnGrid(High(a)), OnGrid(High(b)); x != y {
		return x < y
	}
	return OnGrid(Low(a)) < OnGrid(Low(b))
}

// Low is the lower end of a margin; one that is not known is below all.
func Low(m Margin) float64 {
	if m.NoLo {
		return math.Inf(-1)
	}
	return m.Lo
}

// Inches writes a margin in mm as a report does: a sign, then inches.
func Inches(mm float64) string {
	s := measure.Inch(mm)
	if mm > 0 && s != "0" {
		s = "+" + s
	}
	return s + " in"
}

// High is the upper end of a margin; one that is not known is above all.
func High(m Margin) float64 {
	if m.NoHi {
		return math.Inf(1)
	}
	return m.Hi
}
