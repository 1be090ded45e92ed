package export

import (
	"strings"

	"flangeway/interaction/plan"
)

// PlanBeside is what stands beside a plan.
type PlanBeside struct {
	Risks    []plan.Risk
	Placings plan.Placings
	Next     []plan.Measure
	Wear     []plan.Wear
	// Orders are the plan's by crew, Sheet that of the car department.
	Orders []plan.Order
	Sheet  []plan.CarLine
}

// PlaceRank is the rank of a place, 1 the worst, as it is and after the plan.
type PlaceRank struct {
	Location string `json:"location"`
	Rank     int    `json:"rank"`
	Of       int    `json:"of"`
	Reason   string `json:"reason"`
	Harm     Harm   `json:"harm"`
	// Expected is the harm at what is usual of what is assumed, with each pair's chance.
	Expected float64 `json:"expected"`
	// FirstInPercent is in how many percent of the draws of what is assumed it is the first.
	FirstInPercent float64   `json:"first_in_percent"`
	After          RankAfter `json:"after"`
}

// RankAfter is a rank after the plan.
type RankAfter struct {
	Rank           int     `json:"rank"`
	Of             int     `json:"of"`
	Harm           Harm    `json:"harm"`
	Expected       float64 `json:"expected"`
	FirstInPercent float64 `json:"first_in_percent"`
}

// ThingRank is the rank of a feature or a wheel, 1 the worst, as it is and after the plan.
type ThingRank struct {
	Where          string    `json:"where"` // frog/F4, or wheel/CAR POSITION
	Location       string    `json:"location,omitempty"`
	Rank           int       `json:"rank"`
	Of             int       `json:"of"`
	Harm           Harm      `json:"harm"`
	Expected       float64   `json:"expected"`
	FirstInPercent float64   `json:"first_in_percent"`
	After          RankAfter `json:"after"`
}

// mostRanked is how many wheels are listed, the worst ones.
const mostRanked = 100

func newRanks(risks []plan.Risk, list []plan.Placing) (out []PlaceRank) {
	of := map[string]plan.Placing{}
	for _, x := range list {
		of[x.Name] = x
	}
	for _, r := range risks {
		x := of[r.Location]
		out = append(out, PlaceRank{r.Location, r.Rank, r.Of, r.Reason, harmOf(r.Harm), cent(x.Before.Expected),
			r.FirstPercent, rankAfter(x.After)})
	}
	return out
}

func newThings(prefix string, list []plan.Placing) (out []ThingRank) {
	for _, x := range list {
		out = append(out, ThingRank{prefix + x.Name, x.Location, x.Before.Rank, x.Before.Of, harmOf(x.Before.Harm),
			cent(x.Before.Expected), x.Before.FirstPercent, rankAfter(x.After)})
	}
	return out
}

func rankAfter(x plan.Stood) RankAfter {
	return RankAfter{x.Rank, x.Of, harmOf(x.Harm), cent(x.Expected), x.FirstPercent}
}

// NextReading is a reading to take next and what it may save.
type NextReading struct {
	Reading  string  `json:"reading"`
	Where    string  `json:"where"`
	Location string  `json:"location,omitempty"`
	Pairs    int     `json:"pairs"`  // undecided ones that it helps to decide
	Chance   float64 `json:"chance"` // that it alone makes a work needless
	Saves    float64 `json:"saves"`  // what that work costs
	Value    float64 `json:"value"`  // both together, over all such works
}

func newNext(list []plan.Measure) (out []NextReading) {
	for _, m := range list {
		out = append(out, NextReading{m.Reading, m.Where, m.Place, m.Pairs, Rounded(m.Chance), money(m.Saves),
			Rounded(m.Value / 100)})
	}
	return out
}

// Wear is how fast a reading wears and what it reaches.
type Wear struct {
	Where    string `json:"where"`
	Location string `json:"location,omitempty"`
	Column   string `json:"column"`
	Rows     int    `json:"rows"` // used
	From     string `json:"from,omitempty"`
	To       string `json:"to,omitempty"`
	// RateAYear is in mm or degrees in the direction of wear, Error its standard error; absent if the rows tell none.
	RateAYear *float64    `json:"rate_a_year,omitempty"`
	Error     *float64    `json:"error,omitempty"`
	Events    []WearEvent `json:"events"`
	Notes     []string    `json:"notes,omitempty"`
}

// WearEvent is the limit that a reading reaches, with the window of the date; a date that is absent is none within
// forty years.
type WearEvent struct {
	What     string `json:"what"`
	At       string `json:"at"`
	Earliest string `json:"earliest"`
	Likely   string `json:"likely,omitempty"`
	Latest   string `json:"latest,omitempty"`
}

func newWear(list []plan.Wear) (out []Wear) {
	for _, w := range list {
		x := Wear{Where: w.Where, Location: w.Place, Column: w.Column, Rows: w.Rows, From: day(w.From), To: day(w.To),
			Events: []WearEvent{}, Notes: w.Notes}
		if w.Known {
			rate, spread := Rounded(w.Rate), Rounded(w.Spread)
			x.RateAYear, x.Error = &rate, &spread
		}
		for _, e := range w.Events {
			x.Events = append(x.Events, WearEvent{e.What, e.At, day(e.Earliest), day(e.Likely), day(e.Latest)})
		}
		out = append(out, x)
	}
	return out
}

// Order is the work of one crew in travel order.
type Order struct {
	Crew     string      `json:"crew"`
	Cost     float64     `json:"cost"`
	CrewDays float64     `json:"crew_days"`
	Items    []OrderItem `json:"items"`
}

// OrderItem is a line of an order: one work on a place, one axle or one hold.
type OrderItem struct {
	IDs      []string `json:"ids"` // of the actions
	Location string   `json:"location,omitempty"`
	Where    string   `json:"where"`
	What     string   `json:"what"`
	Because  []string `json:"because,omitempty"`
	Found    []string `json:"found,omitempty"` // the readings as they are
	Material string   `json:"material,omitempty"`
	DoneAt   string   `json:"done_at,omitempty"`
	Movement string   `json:"movement,omitempty"` // what conflicts until it is done
	Answers  []string `json:"answers,omitempty"`  // readings beyond a federal limit
	Due      string   `json:"due,omitempty"`
	Protect  string   `json:"protect,omitempty"` // what holds until it is done
	Before   string   `json:"before,omitempty"`  // what to know first
	After    []string `json:"after,omitempty"`   // ids of works to be done first
	Final    []string `json:"final,omitempty"`   // readings to end at
	Check    []string `json:"check,omitempty"`   // what to check after
}

// carOrder is the crew of the car department's sheet.
const carOrder = "car department"

// newOrders are the orders by crew, and the car department's sheet, one item an axle; holds stand with transportation.
func newOrders(p *plan.Plan, beside PlanBeside) []Order {
	out := []Order{}
	for _, o := range beside.Orders {
		x := Order{Crew: o.Crew, Cost: money(o.Cents), CrewDays: float64(o.Millis) / 1000, Items: []OrderItem{}}
		for _, i := range o.Items {
			x.Items = append(x.Items,
				OrderItem{[]string{i.ID}, i.Location, i.Where, i.What, i.Because, i.Found, i.Material, i.DoneAt,
					i.Movement, i.Answers, day(i.Due), i.Protect, i.Before, i.After, i.Final, i.Check})
		}
		out = append(out, x)
	}
	cars := Order{Crew: carOrder}
	for _, a := range p.Actions {
		if a.Side == plan.Car && a.Effect != plan.Holds {
			cars.Cost, cars.CrewDays = cars.Cost+money(a.Cents), cars.CrewDays+float64(a.Millis)/1000
		}
	}
	for _, l := range plan.Axles(beside.Sheet) {
		if l.Position != "" {
			cars.Items = append(cars.Items, OrderItem{IDs: strings.Split(l.ID, ", "), Where: l.Car + " " + l.Position,
				What: l.Do, Because: l.Conflicts, Found: nonempty(l.Reading), Material: l.Material, DoneAt: l.DoneAt,
				Movement: l.Movement, Answers: l.Answers, Due: l.Due, Protect: l.Protect, Final: l.Final,
				Check: l.Note})
		}
	}
	if len(cars.Items) > 0 {
		out = append(out, cars)
	}
	return out
}

// nonempty is a text as a list.
func nonempty(s string) []string {
	if s == "" {
		return nil
	}
	return []string{s}
}
