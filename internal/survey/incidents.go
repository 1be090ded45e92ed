package survey

import (
	"math"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/track"
)

// Incidents is the railroad's own log of accidents: over how many years it goes, and how many happened at each location
// that it names. 0 says that none did; a location that is not named says nothing.
type Incidents struct {
	Years float64
	At    map[string]int
}

// incidentsText is the log as it stands in railroad.yaml, before the sheets are known.
type incidentsText struct {
	years float64
	at    []namedNumber
}

// Limits of the log.
const (
	maxLogYears  = 100
	maxIncidents = 10000
)

func readIncidents(m *configs.Mapping) incidentsText {
	t := incidentsText{at: numbers(m, "at", maxIncidents)}
	years, ok := number(m, "years", maxLogYears)
	switch {
	case ok && years == 0:
		m.Fail("years", "0 years are no log", "how many years it goes back")
	case !ok && !m.Has("years") && len(t.at) > 0:
		m.Fail("years", "it is not said over how many years", "how many years the log goes back")
	}
	t.years = years
	m.Done()
	return t
}

// resolve looks the locations of the log up in the sheets.
func (t incidentsText) resolve(tr *track.Track, problems *measure.Problems) Incidents {
	out := Incidents{Years: t.years, At: map[string]int{}}
	if len(t.at) == 0 {
		return out
	}
	known := map[string]bool{}
	var names []string
	for _, f := range tr.Features {
		if !known[f.Location] {
			known[f.Location] = true
			names = append(names, f.Location)
		}
	}
	for _, n := range t.at {
		if !known[n.name] {
			notInSheets(problems, n.place, "incidents", n.name, "a location", names)
		}
		if n.value != math.Trunc(n.value) {
			problems.Add(n.place, "incidents", "accidents are counted whole", "a whole number of accidents")
		}
		out.At[n.name] = int(n.value)
	}
	return out
}
