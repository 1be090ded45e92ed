package interaction

import (
	"maps"
	"math/bits"
	"slices"
	"strings"

	"flangeway/internal/each"
	"flangeway/track"
	"flangeway/wheel"
)

// What was seen at a place or a wheel bears on what its readings say. A mark tells against a clear pair, which is then
// undecided until a reading is taken again; it never makes any verdict better. A mark that was looked for and is not
// there tells against a conflict that would have left it, and changes nothing. Neither acts under --plain.

// Mark is a word of the columns marks and condition, and the checks that it bears on.
type Mark struct {
	Column string // marks or condition
	Word   string
	At     []track.Kind // of a place; none: of a wheel
	Bears  []Bearing
}

// Bearing is what a mark says at one check.
type Bearing struct {
	Check string
	// Asks are the readings that answer the mark, any one of them taken again.
	Asks Mask
	Says string // against a clear pair
	// Close says that it tells against a close pair alone, Lacks that it does only where one of these was not read.
	Close bool
	Lacks []track.Quantity
	// None is what it says beside a conflict if it was looked for and not seen; "" for nothing.
	None string
}

// MarkRule is a bearing of a mark at a check.
type MarkRule struct {
	*Mark
	Bearing
}

// OfWheel reports whether the mark is seen at a wheel.
func (m *Mark) OfWheel() bool { return len(m.At) == 0 }

// Marks are all marks that bear on a pair. Who struck what follows from how the parts meet; that a trace stands for it
// is the project's own rule.
func Marks() []Mark {
	depth, height, hollow := TrackMask(track.FlangewayDepth), WheelMask(wheel.FlangeHeight),
		WheelMask(wheel.TreadHollow)
	face, check, guard := TrackMask(track.GuardFace), TrackMask(track.GuardCheck), TrackMask(track.GuardFlangeway)
	gap, drop, chip := TrackMask(track.PointGap), TrackMask(track.PointDrop), TrackMask(track.ChipDepth)
	angle, stock := TrackMask(track.FaceAngle), TrackMask(track.StockRailWear)
	loaded, bar := TrackMask(track.LoadedGauge), TrackMask(track.BarDepth)
	at := func(kinds ...track.Kind) []track.Kind { return kinds }
	const (
		opens = "the gauge under load is wider than was read"
		moves = "what the curve was judged with is not how its rails stand under a train"

		tipBright = "the flange tip strikes somewhere where flanges hang free: the flange is higher than was read, " +
			"or a place is shallower (the tips of wheels that run over flange-bearing frogs are bright too)"
	)
	return []Mark{
		{"marks", "floor_bright", at(track.Frog), []Bearing{{Check: "frog-floor", Asks: depth,
			Says: "flange tips strike the floor: somewhere it is shallower than was read, or flanges pass that are " +
				"higher than the sheet has them",
			None: "flange tips that strike a floor leave it bright"}}},
		{"marks", "point_nicked", at(track.Frog), []Bearing{{Check: "frog-point", Asks: check,
			Says: "flanges reach the point: the guard rail checks less than was read, or axles pass that are wider " +
				"than the sheet has them",
			None: "flanges that reach a frog's point nick it"}}},
		{"marks", "wing_climbed", at(track.Frog), []Bearing{{Check: "frog-wing", Asks: hollow,
			Says: "false flanges climb the wing: treads pass that are hollower than was read, or the wing's top is " +
				"not as it was made",
			None: "false flanges that climb a wing leave a bright band on it that runs off the tread's"}}},
		{"marks", "guard_bright", at(track.Frog), []Bearing{
			{Check: "guard-bind", Asks: face,
				Says: "flange backs bear hard on the guard rail: the guard face is wider than was read, or axles " +
					"pass that are narrower than the sheet has them",
				None: "backs that bind over a guard rail leave its face bright"},
			{Check: "guard-flangeway", Asks: guard,
				Says: "flanges rub in the guard's flangeway: it is narrower than was read, or flanges pass that are " +
					"thicker than the sheet has them",
				None: "a flange that fills its flangeway leaves the guard's face bright"}}},
		{"marks", "point_nicked", at(track.Switch), []Bearing{
			{Check: "point-pick", Asks: gap,
				Says: "flanges catch the tip of the point: under a train it gaps more than was read",
				None: "flanges that pick a point nick its tip"},
			{Check: "point-climb", Asks: chip | drop,
				Says: "flange tips run onto the point: it is chipped deeper or stands lower than was read"}}},
		{"marks", "point_bright_top", at(track.Switch), []Bearing{{Check: "point-climb", Asks: drop | chip,
			Says: "flange tips run on the point's top: it stands lower than was read",
			None: "flange tips that climb a point leave its top bright or nicked"}}},
		{"marks", "stock_rail_inside_worn", at(track.Switch), []Bearing{{Check: "point-pick", Asks: stock,
			Says: "flanges bear on the stock rail before the point: it is worn by more than was read, and the tip " +
				"stands out into the flangeway"}}},
		{"condition", "worn", at(track.Switch), []Bearing{
			{Check: "point-climb", Asks: angle, Lacks: []track.Quantity{track.FaceAngle},
				Says: "the switch is worn as judged by eye, and the angle of its faces was not read"},
			{Check: "point-climb", Asks: angle | drop | chip, Close: true,
				Says: "the switch is worn as judged by eye, and the pair is clear by less than its reserve"},
			{Check: "point-pick", Asks: gap | stock, Close: true,
				Says: "the switch is worn as judged by eye, and the pair is clear by less than its reserve"}}},
		{"condition", "poor", at(track.Switch), []Bearing{
			{Check: "point-climb", Asks: angle | drop | chip,
				Says: "the switch is poor as judged by eye: the readings do not show what was seen"},
			{Check: "point-pick", Asks: gap | stock,
				Says: "the switch is poor as judged by eye: the readings do not show what was seen"}}},
		{"marks", "band_gauge_corner", at(track.Curve, track.Spot), []Bearing{
			{Check: "wide-gauge", Asks: loaded,
				Says: "wheels run on the gauge corner, as they do on a rail that leans out under load: " + opens},
			{Check: "hollow-curve", Asks: loaded,
				Says: "wheels run on the gauge corner, as they do on a rail that leans out under load: " + moves}}},
		{"marks", "rail_canted", at(track.Curve, track.Spot), []Bearing{
			{Check: "wide-gauge", Asks: loaded,
				Says: "the rail stands canted, so its fastenings have given way: " + opens},
			{Check: "hollow-curve", Asks: loaded, Says: "the rail stands canted, so its fastenings have given way: " +
				moves}}},
		{"marks", "plates_moved", at(track.Curve, track.Spot), []Bearing{
			{Check: "wide-gauge", Asks: loaded, Says: "the plates have moved on their ties: " + opens},
			{Check: "hollow-curve", Asks: loaded, Says: "the plates have moved on their ties: " + moves}}},
		{"marks", "bar_shaved", at(track.Joint), []Bearing{{Check: "joint-bar", Asks: bar,
			Says: "flange tips strike the bar: it stands higher than was read, or flanges pass that are higher than " +
				"the sheet has them",
			None: "flange tips that strike a bar shave its edge"}}},
		{"marks", "tip_bright", nil, []Bearing{
			{Check: "frog-floor", Asks: height, Says: tipBright, None: "a flange tip that strikes a floor gets bright"},
			{Check: "joint-bar", Asks: height, Says: tipBright, None: "a flange tip that strikes a bar gets bright"}}},
		{"marks", "flat_spot", nil, []Bearing{
			{Check: "frog-floor", Asks: height, Close: true, Says: flatSpot},
			{Check: "joint-bar", Asks: height, Close: true, Says: flatSpot}}},
		{"marks", "edge_flow", nil, []Bearing{
			{Check: "frog-wing", Asks: hollow, Says: edgeFlow},
			{Check: "outer-tread", Asks: hollow, Says: edgeFlow},
			{Check: "hollow-curve", Asks: hollow, Says: edgeFlow}}},
	}
}

// flatSpot: a flat of the length c on a wheel of the radius r is r - sqrt(r^2 - c^2/4) deep, which is 0.05 in for c =
// 2-1/2 in, the federal limit of locomotives (49 CFR 229.75(a)), and r = 16-1/2 in. That is under the reserve, 1/16 in.
const flatSpot = "on its flat spot the wheel stands lower, by 0.05 in where the flat is 2-1/2 in long and the wheel " +
	"33 in (plain geometry): the pair is clear by less than its reserve; the height is to be read at the flat"

const edgeFlow = "metal has flowed to the field edge, where the straight edge of the hollow gauge rests: the tread " +
	"stands lower inside of it than was read, or has a false flange"

// marksOf are the rules of a check.
func marksOf(check string) (out []MarkRule) {
	for _, m := range Marks() {
		for _, b := range m.Bears {
			if b.Check == check {
				out = append(out, MarkRule{&m, b})
			}
		}
	}
	return out
}

// seen is what marks say of one side of a pair: rules of the check by bit.
type seen struct {
	up    uint32 // those whose mark was seen
	wants uint32 // those whose mark was looked for and not seen
	// other are readings that are not those of the row that the marks stand in.
	other Mask
}

// seeWheel notes the marks of a wheel.
func (c *Check) seeWheel(p *Part, w *wheel.Wheel) {
	p.seen.other = Mask(w.Others())
	if !w.Marks.Looked {
		return
	}
	for i := range c.Marks {
		if r := &c.Marks[i]; r.OfWheel() {
			p.seen.note(i, w.Marks.Has(r.Word), len(w.Marks.Seen) == 0)
		}
	}
}

// seePlace notes the marks of a feature and its condition.
func (c *Check) seePlace(p *Part, f *track.Feature) {
	p.seen.other = Mask(f.Others()) << TrackBit
	if !f.Marks.Looked && f.Condition == "" {
		return
	}
	for i := range c.Marks {
		r := &c.Marks[i]
		if !slices.Contains(r.At, f.Kind) {
			continue
		}
		saw, none := f.Condition == r.Word, false
		if r.Column == "marks" {
			saw, none = f.Marks.Has(r.Word), f.Marks.Looked && len(f.Marks.Seen) == 0
		}
		saw = saw && (len(r.Lacks) == 0 || slices.ContainsFunc(r.Lacks,
			func(q track.Quantity) bool { return !f.Read(q).Measured() }))
		p.seen.note(i, saw, none)
	}
}

func (s *seen) note(rule int, saw, none bool) {
	if saw {
		s.up |= 1 << rule
	}
	if none {
		s.wants |= 1 << rule
	}
}

// Against are the rules, by bit, that tell against a clear pair whose margin is lo or more: a mark whose reading is
// another one than that of its row says nothing any more. A mark that asks for a reading of the other side is still
// seen when that has another one: a frog's wing stays climbed when a wheel is turned.
func (c *Check) Against(r *Rules, w, p *Part, lo float64) uint32 {
	out := w.seen.up | p.seen.up
	for left := out; left != 0; left &= left - 1 {
		i := bits.TrailingZeros32(left)
		m := &c.Marks[i]
		own := p.seen.other
		if m.OfWheel() {
			own = w.seen.other
		}
		if m.Asks&own != 0 || m.Close && lo >= c.CloseBelow(r)-near {
			out &^= 1 << i
		}
	}
	return out
}

// Under is a margin with the marks laid over it, and the rules that tell against the pair.
func (c *Check) Under(r *Rules, w, p *Part, m Margin) (Margin, uint32) {
	if m.Verdict != Clear || w.seen.up|p.seen.up == 0 {
		return m, 0
	}
	against := c.Against(r, w, p, Low(m))
	if against != 0 {
		m.Verdict, m.Settle = Undecided, c.Asked(against)
		m.Together = bits.OnesCount32(against) > 1
	}
	return m, against
}

// Unmarked are the rules, by bit, whose mark a conflict would have left and that was looked for and not seen.
func (c *Check) Unmarked(w, p *Part) uint32 {
	out := w.seen.wants | p.seen.wants
	for i := range c.Marks {
		if c.Marks[i].None == "" || c.Marks[i].Asks&(w.seen.other|p.seen.other) != 0 {
			out &^= 1 << i
		}
	}
	return out
}

// Asked are the readings that rules ask for.
func (c *Check) Asked(rules uint32) (m Mask) {
	c.EachMark(rules, func(r *MarkRule) { m |= r.Asks })
	return m
}

// Across reports whether the readings that a rule asks for are of the other side than its mark.
func (r *MarkRule) Across() bool { return r.OfWheel() == (r.Asks>>TrackBit != 0) }

// EachMark calls f with the rules of a set, in order.
func (c *Check) EachMark(rules uint32, f func(*MarkRule)) {
	for ; rules != 0; rules &= rules - 1 {
		f(&c.Marks[bits.TrailingZeros32(rules)])
	}
}

// GoneAtPlace is what the columns marks and condition of a feature say no longer when readings of it are other ones:
// what they hold then, as one would write it, by column. Columns that still say what they said are left out.
func GoneAtPlace(f *track.Feature, others Mask) map[string]string {
	there := func(m *Mark) bool { return slices.Contains(m.At, f.Kind) }
	out := gone("marks", f.Marks.Seen, others, there)
	maps.Copy(out, gone("condition", strings.Fields(f.Condition), others, there))
	return out
}

// GoneAtWheel is the same of a wheel; its trace is gone with what it shows.
func GoneAtWheel(w *wheel.Wheel, others Mask) map[string]string {
	out := gone("marks", w.Marks.Seen, others, (*Mark).OfWheel)
	shape := WheelMask(wheel.FlangeHeight) | WheelMask(wheel.FlangeThickness) | WheelMask(wheel.TreadHollow)
	if w.Profile != "" && others&shape != 0 {
		out["profile"] = "-"
	}
	return out
}

func gone(column string, words []string, others Mask, there func(*Mark) bool) map[string]string {
	left := slices.DeleteFunc(slices.Clone(words), func(word string) bool {
		return slices.ContainsFunc(Marks(), func(m Mark) bool {
			return m.Column == column && m.Word == word && there(&m) &&
				slices.ContainsFunc(m.Bears, func(b Bearing) bool { return b.Asks&others != 0 })
		})
	})
	out := map[string]string{}
	switch {
	case len(left) == len(words):
	case len(left) == 0:
		out[column] = "-"
	default:
		out[column] = strings.Join(left, " ")
	}
	return out
}

// Where is at what the mark is seen.
func (m *Mark) Where() string {
	if m.OfWheel() {
		return "wheel"
	}
	return strings.Join(each.Of(m.At, track.Kind.String), " or ")
}
