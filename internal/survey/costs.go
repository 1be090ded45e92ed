package survey

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/each"
	"flangeway/internal/measure"
	"flangeway/track"
)

// Costs are the costs of works on this railroad: its own figures, else the built-in ones.
type Costs struct {
	Currency      string
	CurrencyGiven bool
	// Horizon is over how many years costs are counted.
	Horizon      int64
	HorizonGiven bool
	List         []configs.Cost
	// Lengths is how long the wide or tight gauge of a curve or spot is, feet, by feature where the railroad says so.
	Lengths map[string]float64
	// Lathe and Press say what the railroad's own shop has; ShopGiven that it was said.
	Lathe, Press, ShopGiven bool
}

// Turns reports whether wheels can be turned: the railroad has a lathe, or it gave the price for which another shop
// does it.
func (c Costs) Turns() bool {
	x, _ := c.Of("wheelset_turn")
	return c.Lathe || x.Given
}

// Presses reports likewise whether wheels can be pressed to another place on their axle.
func (c Costs) Presses() bool {
	x, _ := c.Of("axle_press")
	return c.Press || x.Given
}

// NewCosts takes the built-in costs.
func NewCosts(data *configs.Data) Costs {
	return Costs{Currency: data.Currency, Horizon: data.HorizonYears, List: slices.Clone(data.Costs)}
}

// Years is over how many years costs are counted: one if nobody said.
func (c Costs) Years() int64 { return max(c.Horizon, 1) }

// mostYears caps a horizon, so that sums stay exact.
const mostYears = 50

// Of is the cost of a kind of work; every name of the built-in file is known.
func (c Costs) Of(name string) (configs.Cost, bool) {
	return each.First(c.List, func(x configs.Cost) bool { return x.Name == name })
}

// readCosts reads costs of railroad.yaml: amounts by name, crew_days and tolerance by name,
// lengths by place, what the shop has, and the currency.
func (s *Survey) readCosts(m *configs.Mapping) {
	s.Costs = NewCosts(s.Data)
	if m.Has("currency") {
		text := strings.TrimSpace(m.Text("currency"))
		if text == "" || len(text) > 12 || strings.ContainsAny(text, "\n\r\t|") {
			m.Fail("currency", fmt.Sprintf("%q is no currency", text), "a short word such as USD")
		}
		s.Costs.Currency, s.Costs.CurrencyGiven = text, true
	}
	if v, ok := m.Amount("horizon_years", 0, "years"); ok {
		if v < 1 || v > mostYears {
			m.Fail("horizon_years", fmt.Sprintf("%d is no horizon", v), fmt.Sprintf("1 to %d years", mostYears))
		}
		s.Costs.Horizon, s.Costs.HorizonGiven = min(max(v, 1), mostYears), true
	}
	s.readShop(m)
	days := m.Sub("crew_days")
	for i := range s.Costs.List {
		c := &s.Costs.List[i]
		if v, ok := m.Amount(c.Name, 2, "currency"); ok {
			c.Cents, c.Given = v, true
		}
		if v, ok := days.Amount(c.Name, 3, "days"); ok {
			c.Millis, c.DayGiven = v, true
		}
	}
	days.Done()
	kept := m.Sub("tolerance")
	for i := range s.Costs.List {
		c := &s.Costs.List[i]
		if len(c.Tolerance) == 0 {
			continue // nothing is read after it
		}
		if r, ok := kept.Length(c.Name, measure.Spec{Column: "tolerance", Unit: measure.Inches, Lo: 0,
			Hi: measure.MMPerInch}); ok {
			c.Kept = r.As
		}
	}
	kept.Done()
	s.lengths = numbers(m, "lengths", mostFeet)
	m.Done()
}

// readShop reads what the railroad's own shop has.
func (s *Survey) readShop(m *configs.Mapping) {
	for _, it := range m.Texts("shop") {
		s.Costs.ShopGiven = true
		for _, word := range strings.FieldsFunc(it.Text, func(r rune) bool { return r == ';' || r == ',' }) {
			switch strings.ToLower(strings.TrimSpace(word)) {
			case "lathe":
				s.Costs.Lathe = true
			case "press":
				s.Costs.Press = true
			case "none":
			default:
				m.Fail("shop", fmt.Sprintf("%q is nothing that a shop has here", measure.Short(word)),
					"lathe, press, or none")
			}
		}
	}
}

// mostFeet is two miles.
const mostFeet = 10560

// resolveLengths looks the places of lengths up in the sheets.
func (s *Survey) resolveLengths(problems *measure.Problems) {
	if len(s.lengths) == 0 {
		return
	}
	var known []string
	for _, f := range s.Track.Features {
		if f.Kind == track.Curve || f.Kind == track.Spot {
			known = append(known, f.Name())
		}
	}
	slices.Sort(known)
	s.Costs.Lengths = map[string]float64{}
	for _, n := range s.lengths {
		if _, ok := slices.BinarySearch(known, n.name); !ok {
			notInSheets(problems, n.place, "lengths", n.name, "curve/ID or spot/ID", known)
		}
		if n.value == 0 {
			problems.Add(n.place, "lengths", "a length of 0 ft", "feet of track")
		}
		s.Costs.Lengths[n.name] = n.value
	}
}

// At is a cost at a place: one that is priced by length costs in proportion to that of the place, rounded up to a
// whole unit of money and a hundredth of a day; by default says that the railroad did not give it.
func (c Costs) At(x configs.Cost, place string) (out configs.Cost, feet float64, byDefault bool) {
	if x.OverFeet == 0 {
		return x, 0, false
	}
	feet, given := c.Lengths[place]
	if !given {
		return x, x.OverFeet, true
	}
	part := func(n, step int64) int64 {
		return step * int64(math.Ceil(float64(n)*feet/x.OverFeet/float64(step)-1e-9))
	}
	x.Cents, x.Millis = part(x.Cents, 100), part(x.Millis, 10)
	return x, feet, false
}

// Tolerance is how far, mm, from the reading of a work order a column may end: the railroad's own figure for the work,
// else the setting work_tolerance if the railroad gives it, else what the built-in costs say, else that setting.
func (s *Survey) Tolerance(work, column string) float64 {
	c, ok := s.Costs.Of(work)
	if ok && c.Kept >= 0 {
		return c.Kept
	}
	all, _ := s.Settings.Setting("work_tolerance")
	if v, named := c.Tolerance[column]; named && !all.Given {
		return v
	}
	return all.Value
}
