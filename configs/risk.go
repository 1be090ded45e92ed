package configs

import (
	"fmt"
)

// Level is a band of how often, from the most to the least.
type Level struct {
	Letter, Name, Source, Kind string
	Passes                     float64 // the least expected conflicting passes a year
}

// Share is a published share of derailment causes, percent.
type Share struct {
	What, Source string
	Percent      float64
}

// Weight is what a conflicting pass of a severity weighs when a plan has to choose, against one of the worst.
type Weight struct {
	Harm, Money  float64
	Source, Kind string
}

// Risk is the matrix of severity and frequency.
type Risk struct {
	Weights [4]Weight // by severity, the worst first
	Source  string
	Levels  []Level
	Cells   map[string][4]string // by letter
	Shares  []Share
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
			r.Levels = append(r.Levels, Level{Letter: c.Need("letter"), Name: c.Need("name"), Source: c.Need("source"),
				Kind: kindOf(c), Passes: number(c, "passes")})
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
			r.Weights[i] = Weight{Harm: number(c, "harm"), Money: number(c, "money"), Source: c.Need("source"),
				Kind: kindOf(c)}
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
		if len(r.Levels) == 0 {
			m.Fail("levels", "there is no level", "levels")
		}
	})
	if err != nil {
		return nil, err
	}
	return r, nil
}
