package survey

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/configs"
)

// Costs are the costs of works on this railroad: its own figures, else the built-in ones.
type Costs struct {
	Currency      string
	CurrencyGiven bool
	List          []configs.Cost
}

// NewCosts takes the built-in costs.
func NewCosts(data *configs.Data) Costs {
	return Costs{Currency: data.Currency, List: slices.Clone(data.Costs)}
}

// Of is the cost of a kind of work; every name of the built-in file is known.
func (c Costs) Of(name string) (configs.Cost, bool) {
	for _, x := range c.List {
		if x.Name == name {
			return x, true
		}
	}
	return configs.Cost{}, false
}

// readCosts reads costs of railroad.yaml: amounts by name, crew_days by name, and the currency.
func (s *Survey) readCosts(m *configs.Mapping) {
	s.Costs = NewCosts(s.Data)
	if m.Has("currency") {
		text := strings.TrimSpace(m.Text("currency"))
		if text == "" || len(text) > 12 || strings.ContainsAny(text, "\n\r\t|") {
			m.Fail("currency", fmt.Sprintf("%q is no currency", text), "a short word such as USD")
		}
		s.Costs.Currency, s.Costs.CurrencyGiven = text, true
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
	m.Done()
}
