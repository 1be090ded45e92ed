package plan

import (
	"fmt"
	"math/rand/v2"
	"testing"

	flow "gonum.org/v1/gonum/graph/network"
	"gonum.org/v1/gonum/graph/simple"

	"flangeway/internal/fixture"
)

// dinic is the value of the greatest flow by gonum.
func dinic(t *testing.T, f *flowNetwork) int64 {
	t.Helper()
	g := simple.NewWeightedDirectedGraph(0, 0)
	for i := range f.nodes {
		g.AddNode(simple.Node(i))
	}
	sum := map[[2]int]float64{}
	for _, a := range f.arcs {
		sum[[2]int{a.from, a.to}] += float64(min(a.capacity, 1<<40))
	}
	for k, v := range sum {
		if v > 0 {
			g.SetWeightedEdge(simple.WeightedEdge{F: simple.Node(k[0]), T: simple.Node(k[1]), W: v})
		}
	}
	return int64(flow.MaxFlowDinic(g, simple.Node(0), simple.Node(1), 1e-6) + 0.5)
}

// Our own flow against gonum's, on random networks.
func TestFlowIsGonums(t *testing.T) {
	for seed := range uint64(60) {
		r := rand.New(rand.NewPCG(3, seed))
		f := &flowNetwork{nodes: 2 + r.IntN(12)}
		for range 5 + r.IntN(50) {
			if a, b := r.IntN(f.nodes), r.IntN(f.nodes); a != b && a != 1 && b != 0 {
				f.arc(a, b, int64(r.IntN(40)))
			}
		}
		got, source := f.maximumFlow()
		if want := dinic(t, f); got != want {
			t.Fatalf("seed %d: %d, gonum %d", seed, got, want)
		}
		var cut int64
		for _, a := range f.arcs {
			if source[a.from] && !source[a.to] {
				cut += a.capacity
			}
		}
		if cut != got {
			t.Errorf("seed %d: flow %d, cut %d", seed, got, cut)
		}
	}
}

// Flange heights and frog depths alone: deeper is never worse, lower is never worse, so
// the whole choice is one minimum cut, and its cost is gonum's greatest flow.
func TestMonotoneCaseIsAMinimumCut(t *testing.T) {
	t.Parallel()
	parts, seeds := 0, fixture.Drawn(12, 30)
	for seed := range seeds {
		r := roller{rand.New(rand.NewPCG(5, seed))}
		f := files{"cars.csv": {{"car", "kind", "owner", "axles"}},
			"wheels.csv": {{"car", "position", "flange_height", "rim_thickness"}},
			"frogs.csv":  {{"location", "frog", "flangeway_depth"}}}
		for c := range 4 {
			id := fmt.Sprintf("CAR %d", c)
			f["cars.csv"] = append(f["cars.csv"], []string{id, "freight", "own", "2"})
			for _, pos := range []string{"L1", "R1", "L2", "R2"} {
				f["wheels.csv"] = append(f["wheels.csv"], []string{id, pos, r.inches(18, 24, 0), "1-3/4"})
			}
		}
		for p := range 5 {
			f["frogs.csv"] = append(f["frogs.csv"], []string{"yard", fmt.Sprintf("F%d", p), r.inches(19, 24, 0)})
		}
		sv := f.write(t, fmt.Sprintf("schema: 1\ncosts: {frog_grind: %d, frog_weld: %d, wheelset_turn: %d, "+
			"wheelset_change: 5000, car_hold: %d}\n",
			4000, 600+r.IntN(3000), 300+r.IntN(900), 100+r.IntN(1200)))
		p, err := Make(plain(t, sv), Options{Level: LevelUndecided})
		if err != nil {
			t.Fatal(err)
		}
		if !p.Proven() {
			t.Errorf("seed %d: cost %d, bound %d", seed, p.Cents, p.Bound)
		}
		// The whole network, before anything is taken out of it, by both flows.
		n := p.assembled
		r0 := newReduction(n.network)
		for _, x := range r0.parts() {
			fl, _, _, _, ok := p.model.cutNetwork(n, x, r0.place, r0.car)
			if !ok {
				t.Errorf("seed %d: no cut", seed)
				continue
			}
			parts++
			got, _ := fl.maximumFlow()
			if want := dinic(t, fl); got != want {
				t.Errorf("seed %d: flow %d, gonum %d", seed, got, want)
			}
			if s, ok := p.model.minimumCut(n, x, r0.place, r0.car); ok {
				sub := r0.network(x)
				eff := 1 << 26
				if other := sub.search(&eff, rootRounds, maxNodes); other.cost != s.cost || other.bound != s.cost {
					t.Errorf("seed %d: cut %d, search %d with bound %d", seed, s.cost, other.cost, other.bound)
				}
				if s.cost != fl.base+got {
					t.Errorf("seed %d: cut %d, flow %d on %d", seed, s.cost, got, fl.base)
				}
			}
		}
	}
	if parts < int(seeds)*5/6 {
		t.Errorf("only %d parts had the form of a cut", parts)
	}
}
