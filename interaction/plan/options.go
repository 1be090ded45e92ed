package plan

// Options say what a plan may do.
type Options struct {
	Level     string // LevelConflict or LevelUndecided
	TrackOnly bool
	CarsOnly  bool
	Budget    *int64 // hundredths of the currency; nil: none
	CrewDays  *int64 // thousandths; nil: none
	NoCurve   bool   // do not find what less money leaves
}

// limited reports whether money or days are: then both count, so that a plan within one limit is found whether the
// other is given or not.
func (o Options) limited() bool { return o.Budget != nil || o.CrewDays != nil }
