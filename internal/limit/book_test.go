package limit

import (
	"fmt"
	"strings"
	"testing"

	"flangeway/configs"
	"flangeway/internal/fixture"
	"flangeway/internal/measure"
)

const ownRule = `rules:
  - id: %s
    subject: frog
    when: {%s}
    quantity: %s
    condemns: {op: '%s', value: '%s'}
    action: %s
    source: our own rule 4
    kind: %s
`

func TestOverlayTightensOnly(t *testing.T) {
	const depth1 = "213.137(a)-class1"
	const nfb = "class: ['1'], not_type: [flange-bearing]"
	for _, tt := range []struct {
		name, id, when, quantity, op, value, action, kind string
		refused                                           string // a part of the message; "" where allowed
		reason                                            string
	}{
		{"tighter figure", depth1, nfb, "flangeway_depth", "<", "1-1/2", "repair", "regulation", "",
			"more is condemned"},
		{"same figure", depth1, nfb, "flangeway_depth", "<", "1-3/8", "repair", "regulation", "", "nothing changes"},
		{"same figure in mm", depth1, nfb, "flangeway_depth", "<", "34.925 mm", "repair", "regulation", "",
			"1-3/8 in is 34.925 mm"},
		{"the figure as well", depth1, nfb, "flangeway_depth", "<=", "1-3/8", "repair", "regulation", "",
			"the figure itself is condemned too"},
		{"looser figure", depth1, nfb, "flangeway_depth", "<", "1-1/4", "repair", "regulation", "condemns less",
			"1-5/16 would pass"},
		{"looser by a 64th", depth1, nfb, "flangeway_depth", "<", "1-23/64", "repair", "regulation", "condemns less",
			"any loosening is one"},
		{"the other way round", depth1, nfb, "flangeway_depth", ">", "1-3/8", "repair", "regulation", "condemns less",
			"shallow frogs would pass"},
		{"another quantity", depth1, nfb, "flangeway_width", "<", "1-3/8", "repair", "regulation", "condemns less",
			"depth would no longer be judged"},
		{"wider when", depth1, "", "flangeway_depth", "<", "1-3/8", "repair", "regulation", "", "it holds everywhere"},
		{"more classes", depth1, "class: [excepted, '1', '2'], not_type: [flange-bearing]", "flangeway_depth", "<",
			"1-3/8", "repair", "regulation", "", "it holds in more classes"},
		{"another class", depth1, "class: ['2'], not_type: [flange-bearing]", "flangeway_depth", "<", "1-3/8", "repair",
			"regulation", "fewer track classes", "class 1 is left out"},
		{"fewer types", depth1, "class: ['1'], not_type: [flange-bearing, spring]", "flangeway_depth", "<", "1-3/8",
			"repair", "regulation", "fewer types", "spring frogs are left out"},
		{"only the named types", depth1, "class: ['1'], type: [bolted, rbm, solid, heavy-point, self-guarded, spring]",
			"flangeway_depth", "<", "1-3/8", "repair", "regulation", "fewer types",
			"frogs without a type are left out"},
		{"only a speed", depth1, nfb, "flangeway_depth", "<", "1-3/8", "10 mph", "regulation", "only a speed",
			"at 10 mph it would count as kept"},
		{"classes narrowed", "213.137(c)", "class: ['1', '2']", "tread_wear", ">", "3/8", "10 mph", "regulation",
			"fewer track classes", "classes 3 to 5 are left out"},
		{"tighter from above", "213.137(c)", "class: ['1', '2', '3', '4', '5']", "tread_wear", ">", "1/4", "10 mph",
			"regulation", "", "more is condemned"},
		{"looser from above", "213.137(c)", "class: ['1', '2', '3', '4', '5']", "tread_wear", ">", "1/2", "10 mph",
			"regulation", "condemns less", "7/16 would pass"},
		{"without the figure", "213.137(c)", "class: ['1', '2', '3', '4', '5']", "tread_wear", ">=", "3/8", "10 mph",
			"regulation", "", "the figure itself is condemned too"},
		{"one of two conditions", "213.137(b)", "class: ['1', '2', '3', '4', '5']", "point_worn_down", ">", "5/8",
			"10 mph", "regulation", "", "condemned whatever the length: more is condemned"},
		{"freely named, not in the book yet", "our-depth", "class: ['1']", "flangeway_depth", "<", "1", "10 mph",
			"regulation", "", "nothing of the id is there to loosen"},
		{"looser practice", depth1, nfb, "flangeway_depth", "<", "1", "repair", "practice", "condemns less",
			"the kind of the later rule does not matter"},
		{"an id of its own", "our-depth", "", "flangeway_depth", "<", "1", "repair", "practice", "",
			"adding is allowed"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			own := ownSet(t, "own.yaml",
				fmt.Sprintf(ownRule, tt.id, tt.when, tt.quantity, tt.op, tt.value, tt.action, tt.kind))
			b, problems := Overlay(fixture.Data(t).Sets["federal"], own)
			if tt.refused == "" {
				if len(problems) > 0 {
					t.Fatalf("refused: %v (%s)", problems[0], tt.reason)
				}
				if i := b.find(tt.id, tt.kind == "regulation"); i < 0 || b.Rules[i].Set != "own.yaml" {
					t.Errorf("the rule is not in the book: %s", tt.reason)
				}
				return
			}
			if len(problems) != 1 {
				t.Fatalf("%d problems, want 1: %s", len(problems), tt.reason)
			}
			msg := problems[0].Error()
			for _, part := range []string{"own.yaml:2:9: id: ", tt.id, tt.refused,
				"in federal (configs/limits/federal.yaml:"} {
				if !strings.Contains(msg, part) {
					t.Errorf("%q lacks %q", msg, part)
				}
			}
			if i := b.find(tt.id, true); i < 0 || b.Rules[i].Set != "federal" {
				t.Errorf("the regulation left the book: %s", tt.reason)
			}
		})
	}
}

// The message names both figures and both origins.
func TestLooseningNamesBothValues(t *testing.T) {
	own := ownSet(t, "own.yaml", fmt.Sprintf(ownRule, "213.137(a)-class1", "", "flangeway_depth", "<", "1-1/4",
		"repair", "regulation"))
	_, problems := Overlay(fixture.Data(t).Sets["federal"], own)
	if len(problems) != 1 {
		t.Fatal(problems)
	}
	for _, part := range []string{"flangeway_depth < 1-1/4 in", "flangeway_depth < 1-3/8 in", "49 CFR 213.137(a)"} {
		if msg := problems[0].Error(); !strings.Contains(msg, part) {
			t.Errorf("%q lacks %q", msg, part)
		}
	}
}

// A second condition lets more pass, and so does a reminder or another subject.
func TestOtherWaysToLoosen(t *testing.T) {
	for _, tt := range []struct{ name, yaml, refused, reason string }{
		{"a second condition", `rules:
  - id: 213.137(c)
    subject: frog
    quantity: tread_wear
    condemns: {op: '>', value: 3/8}
    and: {quantity: speed_mph, op: '>', value: '5'}
    action: 10 mph
    source: ours
    kind: regulation
`, "condemns less", "slow track would pass"},
		{"a reminder", `rules:
  - id: 213.137(c)
    subject: frog
    reminder: yes
    action: look at it
    source: ours
    kind: regulation
`, "no longer condemns", "nothing would be judged"},
		{"another subject", `rules:
  - id: 213.53(b)-least-curve
    subject: spot
    quantity: gauge
    condemns: {op: '<', value: '56'}
    action: repair
    source: ours
    kind: regulation
`, "another subject", "curves would pass"},
		{"another kind of car", `rules:
  - id: 215.103(a)
    subject: wheel
    when: {kind: steam}
    quantity: flange_thickness
    condemns: {op: '<=', value: 7/8}
    action: repair
    source: ours
    kind: regulation
`, "fewer kinds of car", "freight cars would pass"},
		{"without the figure itself", `rules:
  - id: 215.103(a)
    subject: wheel
    when: {kind: freight}
    quantity: flange_thickness
    condemns: {op: '<', value: 7/8}
    action: repair
    source: ours
    kind: regulation
`, "condemns less", "a flange of 7/8 would pass"},
	} {
		t.Run(tt.name, func(t *testing.T) {
			_, problems := Overlay(fixture.Data(t).Sets["federal"], ownSet(t, "own.yaml", tt.yaml))
			if len(problems) != 1 || !strings.Contains(problems[0].Error(), tt.refused) {
				t.Errorf("problems %v, want one with %q: %s", problems, tt.refused, tt.reason)
			}
		})
	}
}

// A railroad's tighter limit is no regulation: the law goes on saying yes, practice says no.
func TestOwnLimitStandsBesideTheRegulation(t *testing.T) {
	own := ownSet(t, "own.yaml", fmt.Sprintf(ownRule, "213.137(a)-class1", "class: ['1'], not_type: [flange-bearing]",
		"flangeway_depth", "<", "1-1/2", "weld", "practice"))
	b, problems := Overlay(fixture.Data(t).Sets["federal"], own)
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	s := Subject{Kind: "frog", Class: "1", Read: readings(map[string]measure.Reading{"flangeway_depth": inch(1.4375)})}
	if law, practice := b.Legality(s, "flangeway_depth"); law.Word != Yes || practice.Word != No {
		t.Errorf("law %s, practice %s; want yes, no", law.Word, practice.Word)
	}
	// and as a regulation it takes the place of the federal figure
	own = ownSet(t, "own.yaml", fmt.Sprintf(ownRule, "213.137(a)-class1", "class: ['1'], not_type: [flange-bearing]",
		"flangeway_depth", "<", "1-1/2", "weld", "regulation"))
	b, _ = Overlay(fixture.Data(t).Sets["federal"], own)
	if law, _ := b.Legality(s, "flangeway_depth"); law.Word != No {
		t.Errorf("law %s, want no", law.Word)
	}
}

// A regulation that asks for no class holds where the class is unknown as well; to list all six is to leave that out.
func TestListingEveryClassIsNarrower(t *testing.T) {
	first := ownSet(t, "first.yaml", fmt.Sprintf(ownRule, "r", "", "flangeway_depth", "<", "1", "repair", "regulation"))
	second := ownSet(t, "second.yaml", fmt.Sprintf(ownRule, "r", "class: [excepted, '1', '2', '3', '4', '5']",
		"flangeway_depth", "<", "1", "repair", "regulation"))
	if _, problems := Overlay(first, second); len(problems) != 1 {
		t.Errorf("problems %v, want one: a frog of unknown class would pass", problems)
	}
	if _, problems := Overlay(second, first); len(problems) != 0 {
		t.Errorf("refused although it holds in more places: %v", problems[0])
	}
}

// The book keeps the order of the sets; a railroad's own limit follows the regulation that it tightens.
func TestOrderOfTheBook(t *testing.T) {
	rule := func(id, value, kind string) string {
		_, r, _ := strings.Cut(fmt.Sprintf(ownRule, id, "", "flangeway_depth", "<", value, "repair", kind), "rules:\n")
		return r
	}
	law := ownSet(t, "law.yaml", "rules:\n"+rule("a", "1", "regulation")+rule("b", "1", "regulation")+
		rule("c", "1", "practice"))
	own := ownSet(t, "own.yaml", "rules:\n"+rule("c", "7/8", "practice")+rule("a", "1-1/8", "practice")+
		rule("d", "1", "practice"))
	own2 := ownSet(t, "own2.yaml", "rules:\n"+rule("a", "1-1/4", "practice")+rule("b", "1-1/4", "regulation"))
	b, problems := Overlay(law, own, own2)
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	var got []string
	for _, r := range b.Rules {
		got = append(got, r.ID+" "+r.Condemns[0].Written+" "+r.Set)
	}
	want := "a 1 in law.yaml, a 1-1/4 in own2.yaml, b 1-1/4 in own2.yaml, c 7/8 in own.yaml, d 1 in own.yaml"
	if s := strings.Join(got, ", "); s != want {
		t.Errorf("%s\nwant %s", s, want)
	}
}

func TestPracticeIsOverriddenFreely(t *testing.T) {
	own := ownSet(t, "own.yaml", `rules:
  - id: interchange-tread-hollow
    subject: wheel
    when: {kind: freight}
    quantity: tread_hollow
    condemns: {op: '>', value: '5'}
    action: change
    source: our own rule
    kind: practice
`)
	d := fixture.Data(t)
	b, problems := Overlay(d.Sets["interchange"], own)
	if len(problems) > 0 {
		t.Fatal(problems[0])
	}
	if got, want := len(b.Rules), len(d.Sets["interchange"].Rules); got != want {
		t.Errorf("%d rules, want %d: an override adds none", got, want)
	}
	i := b.find("interchange-tread-hollow", false)
	if d.Sets["interchange"].Rules[i].ID != "interchange-tread-hollow" {
		t.Error("the override does not stand in the place of the first rule")
	}
	if b.Rules[i].Condemns[0].Value != 5 {
		t.Errorf("value %g mm, want 5", b.Rules[i].Condemns[0].Value)
	}
}

// The hash is of what the book says, not of files and order.
func TestSHA256(t *testing.T) {
	d := fixture.Data(t)
	hash := func(sets ...configs.Set) string {
		b, problems := Overlay(sets...)
		if len(problems) > 0 {
			t.Fatal(problems[0])
		}
		return b.SHA256()
	}
	federal := hash(d.Sets["federal"])
	if len(federal) != 64 || strings.ToLower(federal) != federal {
		t.Errorf("%q is not a hash in hexadecimal", federal)
	}
	if hash(d.Sets["federal"], d.Sets["federal"]) != federal {
		t.Error("the same set twice is another book")
	}
	if hash(d.Sets["federal"], d.Sets["interchange"]) != hash(d.Sets["interchange"], d.Sets["federal"]) {
		t.Error("the order of sets without a common id makes another book")
	}
	one := func(value, note string) string {
		return hash(ownSet(t, "a.yaml", fmt.Sprintf(ownRule, "x", "", "flangeway_depth", "<", value, "repair",
			"practice")+note))
	}
	base := one("1-1/2", "")
	if one("1.5", "") != base {
		t.Error("another notation of the same value is another book")
	}
	if one("1-33/64", "") == base {
		t.Error("another value is the same book")
	}
	if one("1-1/2", "    note: careful\n") == base {
		t.Error("another note is the same book")
	}
	renamed := ownSet(t, "b.yaml", fmt.Sprintf(ownRule, "x", "", "flangeway_depth", "<", "1-1/2", "repair", "practice"))
	if hash(renamed) != base {
		t.Error("another file name is another book")
	}
}

func TestEmptyBook(t *testing.T) {
	b, problems := Overlay()
	if len(problems) > 0 || len(b.Rules) > 0 {
		t.Fatal("rules out of nothing")
	}
	s := Subject{Kind: "frog", Class: "1", Read: readings(map[string]measure.Reading{"flangeway_depth": inch(1)})}
	if law, practice := b.Legality(s, "flangeway_depth"); law.Word != None || practice.Word != None {
		t.Errorf("%s, %s: no rule covers anything", law.Word, practice.Word)
	}
	if m := b.ClassMet(s); m.Class != "" || len(m.NotRead) > 0 {
		t.Errorf("class %q, not read %q without a rule", m.Class, m.NotRead)
	}
}
