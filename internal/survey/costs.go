package survey

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// Costs are the costs of works on this railroad: its own figures, else the built-in ones.
type Costs struct {
	Currency      string
	CurrencyGiven bool
	// Horizon is over how many years costs are counted.
	Horizon      int64
	HorizonGiven bool
	List         []configs.Cost
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
	for _, x := range c.List {
		if x.Name == name {
			return x, true
		}
	}
	return configs.Cost{}, false
}

// readCosts reads costs of railroad.yaml: amounts by name, crew_days and tolerance by name, and the currency.
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
	m.Done()
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
