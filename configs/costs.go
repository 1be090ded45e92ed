package configs

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"flangeway/internal/measure"
)

// Cost is the cost of one kind of work.
type Cost struct {
	Name    string
	Cents   int64 // hundredths of the currency
	Millis  int64 // crew days, in thousandths
	Yearly  bool  // it is paid every year
	Life    int64 // years that the work holds; 0 is longer than any horizon
	Crew    string
	ReachMM float64 // the most that the work changes the dimension it mends; 0 is without a bound of its own
	// AlongMM is how long a piece of the point the work builds up at most, StockWearMM how much the stock rail may be
	// worn beside a point on which the work is done without it; 0 where the work has no such bound.
	AlongMM, StockWearMM float64
	OverFeet             float64 // over how many feet of track it is the cost, 0 of one place however long
	FaceDegrees          float64 // how steep it makes the face of a switch point
	// Leaves is the reading at which the work leaves a column, as one would write it; nil where works say it
	// themselves.
	Leaves map[string]string
	// Tolerance is by column how far, mm, from the reading of the order the work can be kept; Kept is one of the
	// railroad's own for all of them, below 0 if it gave none.
	Tolerance map[string]float64
	Kept      float64
	Material  string // what the gang brings; "" nothing
	DoneAt    string // where it works; "" wherever it is
	Meaning   string
	Source    string
	Kind      string
	Given     bool // the railroad's own
	DayGiven  bool // its crew days likewise
}

// Reach is the most that a work changes the dimension it mends, mm; 0 if configs bounds it by nothing of its own.
func (d *Data) Reach(work string) float64 {
	for _, c := range d.Costs {
		if c.Name == work {
			return c.ReachMM
		}
	}
	return 0
}

// Times is how often a cost is paid within a horizon of years.
func (c *Cost) Times(years int64) int64 {
	switch {
	case c.Yearly:
		return years
	case c.Life > 0:
		return (years + c.Life - 1) / c.Life
	}
	return 1
}

// Money writes hundredths of a currency as people do: 3000 or 3000.50.
func Money(cents int64) string {
	s := strconv.FormatInt(cents/100, 10)
	if cents%100 != 0 {
		s += fmt.Sprintf(".%02d", cents%100)
	}
	return s
}

// Apart sets the thousands of a number apart, before a decimal point if it has one.
func Apart(number string) string {
	whole, rest, point := strings.Cut(number, ".")
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "-", whole[1:]
	}
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	if point {
		rest = "." + rest
	}
	return sign + whole + rest
}

// Days writes thousandths of a day.
func Days(millis int64) string {
	return strconv.FormatFloat(float64(millis)/1000, 'f', -1, 64)
}

// CrewDays writes thousandths of a day with their unit.
func CrewDays(millis int64) string {
	if millis == 1000 {
		return "1 crew day"
	}
	return Days(millis) + " crew days"
}

// maxMoney caps an amount, so that sums of many stay exact.
const maxMoney = 1e9

// Amount reads a number that is not negative, with at most the given digits behind the point, as a whole number of the
// last of them. ok is false if the key is absent or wrong.
func (m *Mapping) Amount(key string, digits int, unit string) (n int64, ok bool) {
	if !m.Has(key) {
		return 0, false
	}
	text := strings.TrimSpace(m.Text(key))
	v, ok := PlainNumber(text)
	scale := math.Pow10(digits)
	switch {
	case !ok || v > maxMoney:
		m.Fail(key, fmt.Sprintf("%q is no amount", measure.Short(text)), "a number of "+unit+", 0 to 1000000000")
		return 0, false
	case reOctal.MatchString(text):
		m.Fail(key, fmt.Sprintf("%q could be an octal number", measure.Short(text)), "a number without zeros in front")
		return 0, false
	case math.Abs(v*scale-math.Round(v*scale)) > 1e-6*math.Max(1, v):
		m.Fail(key, fmt.Sprintf("%q has too many decimals", measure.Short(text)), fmt.Sprintf("at most %d", digits))
		return 0, false
	}
	return int64(math.Round(v * scale)), true
}

func (d *Data) loadCosts(m *Mapping) {
	d.Currency = m.Need("currency")
	m.Need("horizon_years")
	d.HorizonYears, _ = m.Amount("horizon_years", 0, "years")
	for _, c := range m.List("costs") {
		x := Cost{Name: c.Need("name"), Crew: c.Need("crew"), Meaning: c.Need("meaning"), Source: c.Need("source"),
			Kind: kindOf(c), Kept: -1, Material: c.Text("material"), DoneAt: c.Text("done_at")}
		c.Need("value")
		x.Cents, _ = c.Amount("value", 2, "currency")
		x.Yearly = c.Text("yearly") == "yes"
		x.Life, _ = c.Amount("life_years", 0, "years")
		c.Need("crew_days")
		x.Millis, _ = c.Amount("crew_days", 3, "days")
		for key, to := range map[string]*float64{"reach": &x.ReachMM, "along": &x.AlongMM,
			"stock_wear": &x.StockWearMM} {
			if c.Has(key) {
				*to = c.needLength(key, measure.Inches)
			}
		}
		if c.Has("face_angle") {
			x.FaceDegrees = c.number("face_angle")
		}
		if c.Has("over_feet") {
			x.OverFeet = c.number("over_feet")
		}
		if c.Has("leaves") {
			x.Leaves = map[string]string{}
			leaves := c.Sub("leaves")
			for _, column := range leaves.Keys() {
				leaves.needLength(column, measure.Inches)
				x.Leaves[column] = leaves.Text(column)
			}
			leaves.Done()
		}
		x.Tolerance = tolerances(c.Sub("tolerance"))
		d.Costs = append(d.Costs, x)
		c.Done()
	}
	m.Done()
}

// tolerances are lengths by column.
func tolerances(m *Mapping) map[string]float64 {
	out := map[string]float64{}
	for column := range bounds().columns {
		if m.Has(column) {
			out[column] = m.needLength(column, measure.Inches)
		}
	}
	m.Done()
	return out
}
