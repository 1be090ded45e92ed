package plan

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"flangeway/configs"
)

// TestPlanStaysTheCheapestInItsRange: a plan made anew at either end of what is proven for a price costs what the plan
// costs there, and beyond an end that was found another one is often cheaper.
func TestPlanStaysTheCheapestInItsRange(t *testing.T) {
	tried, left := 0, 0
	for seed := range uint64(2) {
		f := roller{rand.New(rand.NewPCG(53, seed))}.survey(4, 2, 6, 0.06)
		p, err := Make(plain(t, f.write(t, plainRailroad)), Options{Level: LevelConflict, IgnoreLimits: true})
		if err != nil {
			t.Fatal(err)
		}
		cheapest := func(work string, cents int64) (least, mine int64) {
			sv := f.write(t, plainRailroad+fmt.Sprintf("costs: {%s: %s}\n", work, configs.Money(cents)))
			x, err := Make(plain(t, sv), Options{Level: LevelConflict, IgnoreLimits: true, NoCurve: true})
			if err != nil {
				t.Fatal(err)
			}
			c, _ := p.model.sv.Costs.Of(work)
			return x.Bound, p.costAt(work, c.Cents, cents)
		}
		for _, r := range p.Prices {
			tried++
			for _, end := range []int64{r.Least, r.Most} {
				if least, mine := cheapest(r.Work, end); least != mine {
					t.Errorf("seed %d: %s at %d: the plan costs %d, the cheapest %d", seed, r.Work, end, mine, least)
				}
			}
			if least, mine := cheapest(r.Work, r.Most*11/10); !r.OverHalf && least < mine {
				left++
			}
		}
	}
	if t.Logf("%d prices decide, beyond %d of them another plan is cheaper", tried, left); tried == 0 || left == 0 {
		t.Error("nothing was tried")
	}
}
