package survey

import (
	"fmt"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
	"flangeway/track"
	"flangeway/wheel"
)

// Traffic is how often cars pass places, as the railroad says. What it does not say is a default: every car passes
// every place once a working day.
type Traffic struct {
	WorkingDays      float64 // a year
	WorkingDaysGiven bool
	// At and Of are who goes where (the key serves). What is in neither goes everywhere.
	At   map[string][]string // location → groups and cars
	Of   map[string][]string // group or car → locations
	Pass map[string]float64  // location → passes a trip, 1 if absent
	// Facing is the share of passes over a switch that are facing, by switch or location.
	Facing map[string]float64
	// Pool is the trips a year of all cars of a group of which the measured ones are a sample.
	Pool map[string]float64
}

// DefaultWorkingDays a year is five days a week less holidays; common practice, no source.
const DefaultWorkingDays = 250

// Given reports whether the railroad said anything at all.
func (t Traffic) Given() bool {
	return t.WorkingDaysGiven || len(t.At)+len(t.Of)+len(t.Pass)+len(t.Facing)+len(t.Pool) > 0
}

// Goes reports whether a car goes to a location.
func (t Traffic) Goes(c *wheel.Car, location string) bool {
	if who, ok := t.At[location]; ok && !slices.Contains(who, c.ID) &&
		(c.Group == "" || !slices.Contains(who, c.Group)) {
		return false
	}
	if where, ok := t.Of[c.ID]; ok {
		return slices.Contains(where, location)
	}
	if where, ok := t.Of[c.Group]; ok && c.Group != "" {
		return slices.Contains(where, location)
	}
	return true
}

type trafficEntry struct {
	name  string
	items []configs.Item
	place measure.Place
}

// trafficText is traffic as it stands in railroad.yaml, before the sheets are known.
type trafficText struct {
	traffic            Traffic
	serves             []trafficEntry
	pass, facing, pool []namedNumber
}

type namedNumber struct {
	name  string
	value float64
	place measure.Place
}

func readTraffic(m *configs.Mapping) trafficText {
	t := trafficText{traffic: Traffic{WorkingDays: DefaultWorkingDays}}
	if v, ok := number(m, "working_days", 366); ok {
		t.traffic.WorkingDays, t.traffic.WorkingDaysGiven = v, true
	}
	serves := m.Sub("serves")
	for _, key := range serves.Keys() {
		t.serves = append(t.serves, trafficEntry{join(key), serves.Texts(key), serves.PlaceOf(key)})
	}
	serves.Done()
	t.pass, t.facing, t.pool = numbers(m, "passes", 1000), numbers(m, "facing", 1), numbers(m, "pool", 1e7)
	m.Done()
	return t
}

// number reads a number from 0 to the most that fits.
func number(m *configs.Mapping, key string, most float64) (float64, bool) {
	if !m.Has(key) {
		return 0, false
	}
	text := m.Text(key)
	v, ok := configs.PlainNumber(text)
	if !ok || v > most {
		m.Fail(key, fmt.Sprintf("%q is not a number that fits here", text), fmt.Sprintf("0 to %g", most))
		return 0, false
	}
	return v, true
}

func numbers(m *configs.Mapping, key string, most float64) (out []namedNumber) {
	sub := m.Sub(key)
	for _, k := range sub.Keys() {
		if v, ok := number(sub, k, most); ok {
			out = append(out, namedNumber{join(k), v, sub.PlaceOf(k)})
		}
	}
	sub.Done()
	return out
}

func join(s string) string { return strings.Join(strings.Fields(s), " ") }

// named are the names that could be those of cars.
func (t trafficText) named() map[string]bool {
	out := map[string]bool{}
	for _, e := range t.serves {
		out[e.name] = true
		for _, it := range e.items {
			out[join(it.Text)] = true
		}
	}
	for _, n := range t.pool {
		out[n.name] = true
	}
	return out
}

func notInSheets(problems *measure.Problems, place measure.Place, field, name, what string, known []string) {
	expected := what
	if near := problems.Near(name, func() []string { return known }); near != "" {
		expected = fmt.Sprintf("did you mean %q? %s", near, what)
	}
	problems.Add(place, field, fmt.Sprintf("%q is not in the sheets", measure.Short(name)), expected)
}

// resolve looks the names of traffic up in the sheets.
func (t trafficText) resolve(tr *track.Track, cars []*wheel.Car, problems *measure.Problems) Traffic {
	out := t.traffic
	out.At, out.Of, out.Pass, out.Facing, out.Pool = map[string][]string{}, map[string][]string{}, map[string]float64{},
		map[string]float64{}, map[string]float64{}
	if len(t.serves)+len(t.pass)+len(t.facing)+len(t.pool) == 0 { // a large network has many names
		return out
	}
	places, switches, groups := map[string]bool{}, map[string]bool{}, map[string]bool{}
	for _, f := range tr.Features {
		places[f.Location] = true
		switches[f.Name()] = true
	}
	for _, c := range cars {
		groups[c.ID] = true
		if c.Group != "" {
			groups[c.Group] = true
		}
	}
	var placeNames, groupNames []string
	for p := range places {
		placeNames = append(placeNames, p)
	}
	for g := range groups {
		groupNames = append(groupNames, g)
	}
	slices.Sort(placeNames)
	slices.Sort(groupNames)
	all := slices.Concat(placeNames, groupNames)
	unknown := func(place measure.Place, field, name, what string, known []string) {
		notInSheets(problems, place, field, name, what, known)
	}
	for _, e := range t.serves {
		into, known, names, what := out.At, groups, groupNames, "a group or a car"
		switch {
		case places[e.name] && groups[e.name]:
			problems.Add(e.place, "serves", fmt.Sprintf("%q is both a location and a group or car", e.name),
				"names that differ")
			continue
		case places[e.name]:
		case groups[e.name]:
			into, known, names, what = out.Of, places, placeNames, "a location"
		default:
			unknown(e.place, "serves", e.name, "a location, group or car", all)
			continue
		}
		list := []string{}
		for _, it := range e.items {
			name := join(it.Text)
			if !known[name] {
				unknown(it.Place, "serves", name, what, names)
				continue
			}
			list = append(list, name)
		}
		into[e.name] = list
	}
	for _, n := range t.pass {
		if !places[n.name] {
			unknown(n.place, "passes", n.name, "a location", placeNames)
		}
		out.Pass[n.name] = n.value
	}
	for _, n := range t.facing {
		if !places[n.name] && !switches[n.name] {
			unknown(n.place, "facing", n.name, "a location or switch/ID", placeNames)
		}
		out.Facing[n.name] = n.value
	}
	for _, n := range t.pool {
		if !groups[n.name] {
			unknown(n.place, "pool", n.name, "a group", groupNames)
		}
		out.Pool[n.name] = n.value
	}
	return out
}
