package export

import (
	"math"

	"flangeway/interaction/load"
)

// Unloading is the part of its static load that the lightest wheel loses, and the share that it keeps, not below 0.
type Unloading struct {
	Twist      float64 `json:"twist"`
	Elevation  float64 `json:"elevation"`
	Imbalance  float64 `json:"imbalance"`
	LeastShare float64 `json:"least_share"`
}

// NewUnloading is the shares in their JSON form.
func NewUnloading(s load.Shares) *Unloading {
	return &Unloading{Rounded(s.Twist), Rounded(s.Elevation), Rounded(s.Imbalance), Rounded(math.Max(0, s.Kept()))}
}
