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

// Risk is the matrix of severity and frequency.
type Risk struct {
	Source string
	Levels []Level
	Cells  map[string][4]string // by letter
	Shares []Share
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
		for _, c := range m.List("shares") {
			kindOf(c)
			r.Shares = append(r.Shares, Share{What: c.Need("what"), Percent: number(c, "percent"),
				Source: c.Need("source")})
			c.Done()
		}
		m.Done()
		if len(r.Levels) == 0 {
			m.Fail("levels", "there is no level", "levels")
		}
	})
	if err != nil {
		return nil, err
	}
	return r, nil
}
