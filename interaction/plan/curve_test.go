package plan

import "testing"

func TestNearly(t *testing.T) {
	t.Parallel()
	of := func(list ...[2]int) (out []Point) {
		for _, x := range list {
			out = append(out, Point{Cents: int64(x[0]), Conflicts: x[1]})
		}
		return out
	}
	money := int64(1)
	for _, c := range []struct {
		name  string
		curve []Point
		plan  Plan
		want  int64 // 0: nothing is said
	}{
		{"a few pairs take most of it", of([2]int{0, 1000}, [2]int{400, 11}, [2]int{500, 10}, [2]int{1000, 0}),
			Plan{Cents: 1000},
			500},
		{"just over half the money", of([2]int{0, 1000}, [2]int{501, 10}, [2]int{1000, 0}), Plan{Cents: 1000}, 0},
		{"just over a hundredth left", of([2]int{0, 1000}, [2]int{100, 11}, [2]int{1000, 0}), Plan{Cents: 1000}, 0},
		{"nothing to do", of([2]int{0, 0}), Plan{}, 0},
		{"no conflict, and a federal limit to answer", of([2]int{0, 0}), Plan{Cents: 1000}, 0},
		{"no curve", nil, Plan{Cents: 1000}, 0},
		{"money is limited", of([2]int{0, 1000}, [2]int{100, 0}), Plan{Cents: 1000, Options: Options{Budget: &money}},
			0},
	} {
		c.plan.Curve = c.curve
		if x, ok := c.plan.Nearly(); ok != (c.want > 0) || ok && x.Cents != c.want {
			t.Errorf("%s: %d, %t, want %d", c.name, x.Cents, ok, c.want)
		}
	}
}
