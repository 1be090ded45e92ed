package plan

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"flangeway/configs"
	"flangeway/interaction"
	"flangeway/internal/measure"
	"flangeway/internal/survey"
	"flangeway/track"
)

// What the conflicts of a place or wheel are expected to cost a year is passes, times the chance that a conflicting
// pass ends in an accident, times what an accident of its check costs at the speed there. The chance is not known and
// nobody publishes it; it and the prices are assumed as ranges (configs/risk.yaml), so the harm is told as one, and a
// rank with how often it holds over draws of them.

// Harm is expected harm in units of the currency a year. Low takes the least of what is assumed and the chance that a
// pair conflicts; Mid and High take every pair that is not clear as a conflict, because nothing that is worn more or
// known less may look better.
type Harm struct{ Low, Mid, High float64 }

// expectedHarm is that of a check's passes, each pair with its chance, at the usual figures of those that are assumed.
func expectedHarm(of *configs.Risk, c *interaction.Check, passes float64) float64 {
	return passes * of.Accident.Usual * of.Weights[c.Severity-1].Money
}

// plus is the sum of both.
func (h Harm) plus(x Harm) Harm { return Harm{h.Low + x.Low, h.Mid + x.Mid, h.High + x.High} }

// metPasses is how often a check may conflict at a place: passes a year, times what the speed there makes of an
// accident.
type metPasses struct {
	expected float64 // each pair with its chance, what was not measured left out
	whole    float64 // of every pair that is not clear
}

// Speeds in mph of which the prices of accidents are, and over which an accident is not taken to get dearer; both are
// assumed, and that harm grows in proportion in between.
const (
	pricedSpeed  = 10
	hardestSpeed = 40
)

// atSpeed is what the speed at a place makes of an accident of a check, 1 at pricedSpeed. A speed that was not given is
// the greatest of the class, without a class hardestSpeed. What breaks parts alone costs the same at every speed.
func atSpeed(c *interaction.Check, f *track.Feature) float64 {
	if c.Severity > interaction.Critical {
		return 1
	}
	speed := float64(hardestSpeed)
	switch {
	case f.SpeedKnown:
		speed = f.Speed
	case f.Class != "":
		speed = track.ClassSpeed(f.Class)
	}
	return math.Min(speed, hardestSpeed) / pricedSpeed
}

// harmOf is the harm of the passes of a check.
func harmOf(of *configs.Risk, c *interaction.Check, x metPasses) Harm {
	w := &of.Weights[c.Severity-1]
	return Harm{x.expected * of.Accident.Least * w.MoneyLeast, x.whole * of.Accident.Usual * w.Money,
		x.whole * of.Accident.Most * w.MoneyMost}
}

// Logged is the record of a place in the railroad's own log, and what harm there is multiplied by for it.
type Logged struct {
	Accidents     int
	Years, Factor float64
}

// priorShape is what the assumed chance of an accident weighs against a log: as much as one accident, so that its
// standard error is as large as itself. Assumed, because the chance is a range over which nobody knows more.
const priorShape = 1.0

// loggedAt compares what the assumed chance lets expect at a place with what happened. Accidents are a Poisson process,
// its rate that of the assumed chance times a factor, which has a gamma distribution of mean 1 and shape priorShape:
// after n accidents where m were expected its mean is (priorShape + n) / (priorShape + m). Passes of the past are
// taken to be those of now. Nil if the log does not name the place. passes are the expected conflicting passes a year.
func loggedAt(log survey.Incidents, location string, of *configs.Risk, passes float64) *Logged {
	n, ok := log.At[location]
	if !ok {
		return nil
	}
	return &Logged{n, log.Years, (priorShape + float64(n)) / (priorShape + of.Accident.Usual*passes*log.Years)}
}

// times is harm multiplied by what a log says; nothing changes it if there is none.
func (l *Logged) times(v float64) float64 {
	if l == nil {
		return v
	}
	return v * l.Factor
}

// Text names the accidents of the log and the factor that follows from them.
func (l *Logged) Text() string {
	factor := strconv.FormatFloat(l.Factor, 'f', 1, 64)
	if l.Factor < 0.95 {
		factor = strconv.FormatFloat(l.Factor, 'f', 2, 64)
	}
	return l.happened() + " by the railroad's own log: times " + factor
}

// happened says what stands in the log.
func (l *Logged) happened() string {
	years := strconv.FormatFloat(l.Years, 'f', -1, 64) + " years"
	if l.Years == 1 {
		years = "1 year"
	}
	if l.Accidents == 0 {
		return "no accident in " + years
	}
	return plural(l.Accidents, "accident", "accidents") + " in " + years
}

// draws is how often the assumed figures are drawn to tell how often a rank holds.
const draws = 1000

// firstOf draws, with a fixed seed, what is assumed of accidents: for each check its chance and for each severity its
// price, every ratio within the ranges alike. It returns in what percent of the draws each of the places is the worst,
// the earlier one of equals. passes are by place and check.
func firstOf(of *configs.Risk, checks []*interaction.Check, passes [][]float64) []float64 {
	if len(passes) == 0 {
		return nil
	}
	first := make([]float64, len(passes))
	r := rand.New(rand.NewPCG(1, 2))
	between := func(least, most float64) float64 {
		return least * math.Pow(most/least, r.Float64())
	}
	price := make([]float64, len(checks))
	for range draws {
		var money [len(of.Weights)]float64
		for i := range money {
			money[i] = between(of.Weights[i].MoneyLeast, of.Weights[i].MoneyMost)
		}
		for k, c := range checks {
			price[k] = between(of.Accident.Least, of.Accident.Most) * money[c.Severity-1]
		}
		best, at := math.Inf(-1), 0
		for i, row := range passes {
			sum := 0.0
			for k, x := range row {
				sum += price[k] * x
			}
			if sum > best+measure.Near {
				best, at = sum, i
			}
		}
		first[at] += 100.0 / draws
	}
	for i := range first {
		first[i] = math.Round(10*first[i]) / 10
	}
	return first
}

// RoundMoney writes an amount to two digits, at least whole units.
func RoundMoney(v float64) string {
	if v < 1 {
		if v > 0 {
			return "under 1"
		}
		return "0"
	}
	unit := math.Pow(10, math.Max(0, math.Floor(math.Log10(v))-1))
	return configs.Apart(fmt.Sprintf("%.0f", math.Round(v/unit)*unit))
}
