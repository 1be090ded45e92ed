package wheel

import (
	"slices"
	"testing"
)

// TestColumnsAreWhole: an entry of the table lacks nothing, and each reading has one.
func TestColumnsAreWhole(t *testing.T) {
	var seen [NumQuantities]int
	var names []string
	for _, c := range columns {
		for _, fault := range c.faults() {
			t.Errorf("column %q: %s", c.Name, fault)
		}
		if slices.Contains(names, c.Name) {
			t.Errorf("column %q stands twice in the table", c.Name)
		}
		names = append(names, c.Name)
		if q, ok := c.Reads(); ok {
			seen[q]++
		}
	}
	for q, n := range seen {
		if n != 1 {
			t.Errorf("quantity %d (behind %q) has %d columns, want 1", q, Quantity(max(0, q-1)), n)
		}
	}
}

// faults are the parts that an entry lacks.
func (c Column) faults() (out []string) {
	identity := c.Name == "car" || c.Name == "position" // the readers of rows take them
	for _, x := range []struct {
		lacks bool
		what  string
	}{
		{c.Name == "", "it has no name"},
		{c.Meaning == "", "it has no meaning for the empty survey"},
		{c.Sheets&(CarSheet|WheelSheet) == 0, "it is in neither sheet"},
		{c.Bounded && c.Unit == "", "it is a reading without a unit"},
		{c.Plain == PlainReading && !c.Bounded, "it is a reading of a wheel without a range in configs/bounds.yaml"},
		{c.Sheets&CarSheet != 0 && c.car == nil && !identity, "nothing reads its cells of cars.csv"},
		{c.Sheets&WheelSheet != 0 && c.wheel == nil && !identity, "nothing reads its cells of wheels.csv"},
		{c.Sheets&CarSheet == 0 && c.car != nil, "it reads cells of cars.csv, which has no such column"},
		{c.Sheets&WheelSheet == 0 && c.wheel != nil, "it reads cells of wheels.csv, which has no such column"},
	} {
		if x.lacks {
			out = append(out, x.what)
		}
	}
	return out
}

// TestFaultsAreNamed: what an entry may lack is found.
func TestFaultsAreNamed(t *testing.T) {
	whole := reading(FlangeHeight, "a", "in", "what it is")
	for _, tc := range []struct {
		name string
		take func(*Column)
		want string
	}{
		{"nothing", func(*Column) {}, ""},
		{"name", func(c *Column) { c.Name = "" }, "it has no name"},
		{"unit", func(c *Column) { c.Unit = "" }, "it is a reading without a unit"},
		{"bounds", func(c *Column) { c.Bounded = false },
			"it is a reading of a wheel without a range in configs/bounds.yaml"},
		{"meaning", func(c *Column) { c.Meaning = "" }, "it has no meaning for the empty survey"},
		{"reader", func(c *Column) { c.wheel = nil }, "nothing reads its cells of wheels.csv"},
		{"sheet", func(c *Column) { c.Sheets, c.wheel = 0, nil }, "it is in neither sheet"},
	} {
		c := whole
		tc.take(&c)
		got := ""
		for _, f := range c.faults() {
			got += f
		}
		if got != tc.want {
			t.Errorf("without its %s: %q, want %q", tc.name, got, tc.want)
		}
	}
}
