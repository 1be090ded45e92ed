package configs

import (
	"fmt"
)

// Level is a band of how often, from the most to the least.
type Level struct {
	Letter, Name, Source, Kind string
	Met                        string  // how often in words: met daily
	Passes                     float64 // the least expected conflicting passes a year
}

// Share is a published share of derailment causes, percent.
type Share struct {
	What, Source string
	Percent      float64
}

// Weight is the weight of a conflicting pass of a severity when a plan has to choose, against one of the worst.
type Weight struct {
	Harm, Money           float64
	MoneyLeast, MoneyMost float64 // of what is assumed of Money
	Source, Kind          string
}

// Accidents is how many conflicting passes end in an accident, of one, as a range.
type Accidents struct {
	Least, Usual, Most float64
	Source, Kind       string
}

// Risk is the matrix of severity and frequency.
type Risk struct {
	Weights  [4]Weight // by severity, the worst first
	Accident Accidents
	Source   string
	Levels   []Level
	Cells    map[string][4]string // by letter
	Shares   []Share
}

// LevelOf is the band of expected conflicting passes a year.
func (r *Risk) LevelOf(passes float64) Level {
	for _, l := range r.Levels {
		if passes >= l.Passes {
			return l
		}
	}
	return r.Levels[len(r.Levels)-1]
}

// LoadRisk reads the built-in matrix; an error means defective built-in data.
func LoadRisk() (*Risk, error) {
	r := &Risk{Cells: map[string][4]string{}}
	err := readBuiltIn("risk.yaml", func(m *Mapping) {
		r.Source = m.Need("source")
		kindOf(m)
		number := func(c *Mapping, key string) float64 {
			c.Need(key)
			v, _ := c.Amount(key, 3, "units")
			return float64(v) / 1000
		}
		for _, c := range m.List("levels") {
			r.Levels = append(r.Levels, Level{Letter: c.Need("letter"), Met: c.Need("met"), Name: c.Need("name"),
				Source: c.Need("source"), Kind: kindOf(c), Passes: number(c, "passes")})
			c.Done()
		}
		for _, c := range m.List("cells") {
			var row [4]string
			for i := range row {
				row[i] = c.Need(fmt.Sprint(i + 1))
			}
			r.Cells[c.Need("letter")] = row
			c.Done()
		}
		for i, c := range m.List("weights") {
			if c.Need("severity") != fmt.Sprint(i+1) || i >= len(r.Weights) {
				c.Fail("severity", "the severities are not in order", "1 to 4")
				continue
			}
			r.Weights[i] = Weight{Harm: number(c, "harm"), Money: number(c, "money"), MoneyLeast: number(c, "least"),
				MoneyMost: number(c, "most"), Source: c.Need("source"), Kind: kindOf(c)}
			if w := r.Weights[i]; !(0 < w.MoneyLeast && w.MoneyLeast <= w.Money && w.Money <= w.MoneyMost) {
				c.Fail("money", "the price is not between its ends", "least, money, most in order")
			}
			c.Done()
		}
		if c := m.Sub("accidents"); c != nil {
			const million = 1e6
			r.Accident = Accidents{Least: number(c, "least") / million, Usual: number(c, "usual") / million,
				Most: number(c, "most") / million, Source: c.Need("source"), Kind: kindOf(c)}
			c.Done()
		}
		for _, c := range m.List("shares") {
			kindOf(c)
			r.Shares = append(r.Shares, Share{What: c.Need("what"), Percent: number(c, "percent"),
				Source: c.Need("source")})
			c.Done()
		}
		m.Done()
		if r.Weights[3].Harm == 0 {
			m.Fail("weights", "a severity has no weight", "1 to 4")
		}
		if a := r.Accident; !(0 < a.Least && a.Least <= a.Usual && a.Usual <= a.Most) {
			m.Fail("accidents", "there is no range of accidents", "least, usual, most in order")
		}
		if len(r.Levels) == 0 {
			m.Fail("levels", "there is no level", "levels")
		}
	})
	if err != nil {
		return nil, err
	}
	return r, nil
}
