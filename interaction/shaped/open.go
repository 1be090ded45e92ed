package shaped

import (
	"math"

	"flangeway/interaction"
)

// Open tells how likely an undecided pair is a conflict.
type Open struct {
	// Plain says that the readings leave the pair open by the plain rule too: the chance is
	// that of its margin ([interaction.Trial.Chance]).
	Plain bool
	// Share is else the part of the computed range of margins that fails, the range taken wider by what a clear verdict
	// and a conflict ask for, and every margin in it for as likely as another (assumed). It is 0 if the pair gets
	// clear, and 1 if it gets a conflict.
	Share float64
	// Assumed says that there is no such range, and one half was taken.
	Assumed bool
}

// Open tells what is known of a pair that is undecided.
func (k *Computed) Open(r *interaction.Rules) Open {
	b := k.bounds(r)
	lo, hi := k.Low-b.clear, k.High-b.conflict
	if k.Mechanism == "" || !(hi > lo) || math.IsInf(hi-lo, 0) || lo > 0 || hi < 0 {
		return Open{Share: 0.5, Assumed: true}
	}
	return Open{Share: -lo / (hi - lo)}
}

// bounds are those of the mechanism by which a verdict was computed.
func (k *Computed) bounds(r *interaction.Rules) bounds {
	for m := range numMechanisms {
		if k.Mechanism == mechanisms[m].name {
			return allowances(r)[m]
		}
	}
	a := r.Value("passage_allowance")
	if k.Unit == "deg" {
		a = r.Value("passage_allowance_deg")
	}
	return bounds{a, -a}
}
