package track

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
		if c.reading {
			seen[c.q]++
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
	identity := c.Name == "location" // the readers of rows take it, and the ids
	for k := range NumKinds {
		identity = identity || c.Name == k.String()
	}
	for _, x := range []struct {
		lacks bool
		what  string
	}{
		{c.Name == "", "it has no name"},
		{c.Meaning == "", "it has no meaning for the empty survey"},
		{c.Kinds&everywhere == 0, "no kind of feature has it"},
		{(c.reading || c.Bounded) && c.Unit == "", "it is a reading without a unit"},
		{c.reading && !c.Bounded && c.q != Degree, "it is a reading without a range in configs/bounds.yaml"},
		{c.read == nil && !identity, "nothing reads its cells"},
	} {
		if x.lacks {
			out = append(out, x.what)
		}
	}
	for k, name := range c.behind {
		stands := slices.ContainsFunc(columns[:], func(o Column) bool { return o.Name == name && o.Kinds.Has(k) })
		if !c.Kinds.Has(k) || !stands {
			out = append(out, "it cannot stand behind "+name+" in "+k.File())
		}
	}
	return out
}

// TestFaultsAreNamed: what an entry may lack is found.
func TestFaultsAreNamed(t *testing.T) {
	whole := length(Gauge, "a", gauged, "what it is")
	for _, tc := range []struct {
		name string
		take func(*Column)
		want string
	}{
		{"nothing", func(*Column) {}, ""},
		{"name", func(c *Column) { c.Name = "" }, "it has no name"},
		{"unit", func(c *Column) { c.Unit = "" }, "it is a reading without a unit"},
		{"bounds", func(c *Column) { c.Bounded = false }, "it is a reading without a range in configs/bounds.yaml"},
		{"kinds", func(c *Column) { c.Kinds = 0 }, "no kind of feature has it"},
		{"meaning", func(c *Column) { c.Meaning = "" }, "it has no meaning for the empty survey"},
		{"reader", func(c *Column) { c.read = nil }, "nothing reads its cells"},
		{"place", func(c *Column) { c.behind = map[Kind]string{Frog: "degree"} },
			"it cannot stand behind degree in frogs.csv"},
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

// TestSheetOrder: a column stands in its sheet where the table or its entry puts it.
func TestSheetOrder(t *testing.T) {
	for _, tc := range []struct {
		kind         Kind
		first, later string
		reason       string
	}{
		{Frog, "track_class", "speed_mph", "as in the table"}, {Curve, "speed_mph", "track_class", "the entry says so"},
		{Joint, "bar_depth", "track_class", "the entry says so"}, {Spot, "holding", "track_class", "the entry says so"},
		{Spot, "track_class", "speed_mph", "behind one that is moved too"},
		{Spot, "speed_mph", "warp", "ahead of what follows"},
	} {
		list := headings(tc.kind)
		if a, b := slices.Index(list, tc.first), slices.Index(list, tc.later); a < 0 || b != a+1 {
			t.Errorf("%s: %s at %d, %s at %d; %s", tc.kind.File(), tc.first, a, tc.later, b, tc.reason)
		}
	}
	for k := range NumKinds {
		if n := len(headings(k)); slices.Index(headings(k), "marks") != n-1 {
			t.Errorf("%s: marks come last", k.File())
		}
	}
}
