package export

import (
	"encoding/csv"
	"io"
	"math"
	"strconv"

	"flangeway/configs"
	"flangeway/interaction/plan"
	"flangeway/internal/measure"
)

// Plan is the JSON of plan.
type Plan struct {
	Schema          int         `json:"schema"`
	SurveySHA256    string      `json:"survey_sha256,omitempty"` // of all sheets, settings and limits
	Level           string      `json:"level"`
	Currency        string      `json:"currency"`
	Cost            float64     `json:"cost"`
	HorizonYears    int         `json:"horizon_years"` // costs are of all these years
	LowerBound      float64     `json:"lower_bound"`
	Proven          bool        `json:"proven"`
	GapPercent      float64     `json:"gap_percent"` // of what is minimised
	Minimises       string      `json:"minimises"`
	Budget          *float64    `json:"budget,omitempty"`
	Minimised       *Minimised  `json:"minimised,omitempty"` // within limits
	PassesBefore    float64     `json:"passes_before"`       // expected conflicting passes a year
	PassesAfter     float64     `json:"passes_after"`
	PassesBound     *float64    `json:"passes_bound,omitempty"` // no plan within the limits leaves fewer
	ConflictsBefore int         `json:"conflicts_before"`
	ConflictsAfter  int         `json:"conflicts_after"`
	Federal         *Federal    `json:"federal_limits,omitempty"`
	ReadAgain       int         `json:"conflicts_to_read_again,omitempty"` // of those after
	UndecidedBefore int         `json:"undecided_before"`
	UndecidedAfter  int         `json:"undecided_after"`
	Actions         []Action    `json:"actions"`
	Bulletins       []Bulletin  `json:"bulletins,omitempty"` // the holds by track
	CostCurve       []CostPoint `json:"cost_curve"`
	Defaults        []Default   `json:"defaults_used"`
	// CrewDays are by crew, because days of different crews add up to nothing.
	CrewDays    map[string]float64 `json:"crew_days"`
	PriceRanges []PriceRange       `json:"price_ranges,omitempty"` // of the assumed prices that decide
	Ranked      []Ranked           `json:"ranked,omitempty"`       // with --frogs, --switches or --curves
	WhatIf      *TriedPlan         `json:"what_if,omitempty"`
	Orders      []Order            `json:"orders,omitempty"` // by crew, of the plan itself
	Ranks       []PlaceRank        `json:"ranks,omitempty"`  // of the places, the worst as they are first
	Features    []ThingRank        `json:"feature_ranks,omitempty"`
	Wheels      []ThingRank        `json:"wheel_ranks,omitempty"`   // the worst ones
	Next        []NextReading      `json:"next_readings,omitempty"` // what to measure next, what saves most first
	Wear        []Wear             `json:"wear,omitempty"`          // what comes first stands first
	Cautions    []string           `json:"cautions,omitempty"`      // of the plan itself, not of the one beside it
}

// Minimised is the sum that is minimised within limits: conflicting passes a year as they weigh, one of the worst
// severity 1.
type Minimised struct {
	Before float64 `json:"before"`
	After  float64 `json:"after"`
	Bound  float64 `json:"bound"` // no plan within the limits leaves less
}

// PriceRange is at least between which prices of a work the plan stays the cheapest, the other prices as they are.
type PriceRange struct {
	Work   string  `json:"work"`
	Price  float64 `json:"price"`
	Least  float64 `json:"least"`
	Most   float64 `json:"most"`
	Yearly bool    `json:"yearly,omitempty"` // they are paid every year
}

// Bulletin is the holds of the plan on one track of tracks.csv.
type Bulletin struct {
	At   string   `json:"at"` // track/NAME
	Cars []Barred `json:"cars"`
}

// Barred is a car on a bulletin.
type Barred struct {
	Car    string   `json:"car"`
	Holds  []string `json:"holds"`  // ids of the actions
	At     []string `json:"at"`     // the places off which it is held, in the order of the run
	Behind []string `json:"behind"` // what else lies on the track behind the first of them
}

// Federal counts the readings beyond a federal limit.
type Federal struct {
	Beyond   int `json:"beyond"`
	Answered int `json:"answered"`
	Left     int `json:"left"`
}

// TriedPlan is the plan without the edits of --what-if, beside the one with them.
type TriedPlan struct {
	Edits  []string `json:"edits"`
	Notes  []string `json:"notes,omitempty"` // what moved along
	Before *Plan    `json:"before"`
}

// Action is one piece of work of a plan.
type Action struct {
	ID      string            `json:"id"`
	Side    string            `json:"side"`
	What    string            `json:"what"`
	Where   string            `json:"where"`
	Effect  string            `json:"effect"`
	Reads   []string          `json:"reads,omitempty"`   // columns to take again
	Rests   int               `json:"rests,omitempty"`   // pairs that rest on them
	Federal bool              `json:"federal,omitempty"` // it answers a reading beyond a federal limit
	Answers []string          `json:"answers,omitempty"` // those readings, with the rules
	Due     string            `json:"due,omitempty"`     // by which day the rule wants it
	Protect string            `json:"protect,omitempty"` // what holds until then
	Sets    map[string]string `json:"sets,omitempty"`
	// Window is by column from where to where the reading may end, both as one would write it; the bound of the column
	// stands where any lesser or greater reading is as good.
	Window   map[string][2]string `json:"window,omitempty"`
	After    []string             `json:"after,omitempty"` // ids of works to be done first
	Crew     string               `json:"crew"`
	Location string               `json:"location,omitempty"`
	At       string               `json:"at,omitempty"`
	Off      []string             `json:"off,omitempty"`    // of a track: the places that keep the car off it
	Behind   []string             `json:"behind,omitempty"` // what lies behind the first of them
	Cost     float64              `json:"cost"`
	// CostAYear is the cost over the life of the work, else over the horizon, a year.
	CostAYear float64 `json:"cost_a_year"`
	CrewDays  float64 `json:"crew_days"`
	Removes   int     `json:"removes"`
}

// CostPoint is one point of the cost curve.
type CostPoint struct {
	Cost          float64 `json:"cost"`
	ConflictsLeft int     `json:"conflicts_left"`
	TrackCost     float64 `json:"track_cost"`
	CarCost       float64 `json:"car_cost"`
}

func money(cents int64) float64 { return float64(cents) / 100 }

// NewPlan turns a plan into its JSON form.
func NewPlan(p *plan.Plan) *Plan {
	out := &Plan{Schema: 1, Level: p.Options.Level,
		Currency: p.Currency, Cost: money(p.Cents), HorizonYears: int(p.HorizonYears()), LowerBound: money(p.Bound),
		Proven: p.Proven(), GapPercent: math.Round(p.GapPercent()*100) / 100, ConflictsBefore: p.Conflict.Before,
		ConflictsAfter: p.Conflict.After, ReadAgain: p.InDoubt, UndecidedBefore: p.Undecided.Before,
		UndecidedAfter: p.Undecided.After, Actions: []Action{}, CostCurve: []CostPoint{}, Defaults: []Default{}}
	out.Minimises, out.PassesBefore, out.PassesAfter = p.Minimises(), Rounded(p.PassesBefore), Rounded(p.PassesAfter)
	if p.Options.Budget != nil {
		v := money(*p.Options.Budget)
		out.Budget = &v
	}
	if p.Limited() {
		v := Rounded(p.PassesBound)
		out.PassesBound = &v
		out.Minimised = &Minimised{Rounded(p.WeighedBefore), Rounded(p.WeighedAfter), Rounded(p.WeighedBound)}
	}
	if n := len(p.Federal); n > 0 {
		left := p.Unanswered()
		out.Federal = &Federal{n, n - left, left}
	}
	_, millis := plan.CrewDays(p.Actions)
	out.CrewDays = map[string]float64{}
	for crew, n := range millis {
		out.CrewDays[crew] = float64(n) / 1000
	}
	for _, r := range p.Prices {
		out.PriceRanges = append(out.PriceRanges,
			PriceRange{r.Work, money(r.Cents), money(r.Least), money(r.Most), r.Yearly})
	}
	for _, a := range p.Actions {
		x := Action{ID: a.ID, Side: a.Side, What: a.What, Where: a.Where, Effect: a.Effect, Reads: a.Reads,
			Rests: a.Rests, Sets: a.Sets, At: a.At, Off: a.Off, Behind: a.Behind, After: a.After,
			Crew: a.Crew, Location: a.Location, Cost: money(a.Cents), CostAYear: money(p.CentsAYear(&a)),
			CrewDays: float64(a.Millis) / 1000, Removes: a.Removes, Federal: a.Federal, Answers: a.Answers,
			Protect: a.Protect}
		if a.Due.Known() {
			x.Due = a.Due.String()
		}
		for column, w := range a.Window {
			if x.Window == nil {
				x.Window = map[string][2]string{}
			}
			x.Window[column] = [2]string{w.Least, w.Most}
		}
		out.Actions = append(out.Actions, x)
	}
	for _, b := range p.Bulletins() {
		x := Bulletin{At: "track/" + b.Line.Name}
		for _, c := range b.Cars {
			x.Cars = append(x.Cars, Barred{c.Car, c.IDs, c.At, list(c.Beyond)})
		}
		out.Bulletins = append(out.Bulletins, x)
	}
	for _, c := range p.Curve {
		out.CostCurve = append(out.CostCurve, CostPoint{money(c.Cents), c.Conflicts, money(c.Track), money(c.Cars)})
	}
	for _, d := range p.Defaults {
		out.Defaults = append(out.Defaults, Default{d.Setting, d.Value, d.Source, d.Kind})
	}
	return out
}

// PlanJSON writes a plan; before is the plan without the edits, or nil; ranked are the features that were asked for;
// sum is that of the survey, beside what stands beside the plan.
func PlanJSON(w io.Writer, p, before *plan.Plan, ranked []Ranked, sum string, edits, notes, cautions []string,
	beside PlanBeside) error {
	out := NewPlan(p)
	out.SurveySHA256, out.Ranked, out.Cautions = sum, ranked, cautions
	wheels := beside.Placings.Wheels
	out.Ranks = newRanks(beside.Risks, beside.Placings.Places)
	out.Features = newThings("", beside.Placings.Features)
	out.Wheels = newThings("wheel/", wheels[:min(len(wheels), mostRanked)])
	out.Next, out.Wear = newNext(beside.Next), newWear(beside.Wear)
	out.Orders = newOrders(p, beside)
	if before != nil {
		out.WhatIf = &TriedPlan{Edits: edits, Notes: notes, Before: NewPlan(before)}
	}
	return JSON(w, out)
}

// day is the cell of a date, empty if it is not known.
func day(d measure.Date) string {
	if d.Known() {
		return d.String()
	}
	return ""
}

// PlanCSV writes one row per action.
func PlanCSV(w io.Writer, p *plan.Plan, cautions []string) error {
	rows := [][]string{{"id", "side", "crew", "location", "where", "effect", "at", "what", "sets", "window", "federal",
		"due", "protect", "cost", "crew_days", "removes"}}
	for _, a := range p.Actions {
		rows = append(rows, []string{a.ID, a.Side, a.Crew, safe(a.Location), safe(a.Where), a.Effect, safe(a.At),
			a.What, a.SetsText(), a.WindowText(), flag(a.Federal), day(a.Due), a.Protect, configs.Money(a.Cents),
			configs.Days(a.Millis), strconv.Itoa(a.Removes)})
	}
	return csv.NewWriter(w).WriteAll(cautioned(rows, cautions))
}
