package plan

// Options say what a plan may do.
type Options struct {
	Level     string // LevelConflict or LevelUndecided
	TrackOnly bool
	CarsOnly  bool
	Budget    *int64 // hundredths of the currency; nil: none
	CrewDays  *int64 // thousandths; nil: none
	NoCurve   bool   // do not find what less money leaves
	// Rough is enough if what is wanted is what a plan is made of: a cheap one, whose works are taken to do all that
	// they may. What each of them removes is asked only where a reading may make it needless; what is left is not.
	Rough bool
	By    string // what is minimised within limits: ByHarm if blank
	// IgnoreLimits leaves readings beyond a federal limit to whoever answers them elsewhere.
	IgnoreLimits bool
}

// What is minimised if money or days are limited: expected conflicting passes a year, each as its check is severe, or
// as an accident of it costs, or each alike.
const (
	ByHarm   = "harm"
	ByPasses = "passes"
	ByMoney  = "money"
)

// Bys are the measures that can be minimised.
func Bys() []string { return []string{ByPasses, ByHarm, ByMoney} }

// limited reports whether money or days are: then both count, so that a plan within one limit is found whether the
// other is given or not.
func (o Options) limited() bool { return o.Budget != nil || o.CrewDays != nil }
