package limit

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"
	"sync"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// regulation is the kind of rule that may only be tightened.
const regulation = "regulation"

// Book is the effective book of limits. Rules stand in the order in which the sets were given; a rule that overrides
// another stands in its place.
type Book struct {
	Rules   []configs.Rule
	indexed sync.Once
	by      map[ruled][]*configs.Rule
	summed  sync.Once
	sum     string
}

// ruled is a subject with one of its quantities, or with "" for all of them.
type ruled struct{ subject, quantity string }

// on are the rules by what they judge, in the order of the book; reminders are left out.
func (b *Book) on(subject, quantity string) []*configs.Rule {
	b.indexed.Do(b.index)
	return b.by[ruled{subject, quantity}]
}

func (b *Book) index() {
	b.by = map[ruled][]*configs.Rule{}
	for i := range b.Rules {
		r := &b.Rules[i]
		if r.Reminder {
			continue
		}
		b.by[ruled{r.Subject, ""}] = append(b.by[ruled{r.Subject, ""}], r)
		for k, c := range r.Condemns {
			twice := k > 0 && c.Quantity == r.Condemns[0].Quantity
			if key := (ruled{r.Subject, c.Quantity}); !twice && !c.Where {
				b.by[key] = append(b.by[key], r)
			}
		}
	}
}

// NotFederal is said on every page of a survey whose limits leave the federal set out.
const NotFederal = "The limits of this survey leave the federal set out: no reading was judged by 49 CFR 213, 215, " +
	"229 or 230, and no word here says that one is legal; add federal to limits in railroad.yaml"

// HasFederal reports whether rules of the federal set stand in the book.
func (b *Book) HasFederal() bool {
	return slices.ContainsFunc(b.Rules, func(r configs.Rule) bool { return r.Set == configs.Federal })
}

// Overlay lays sets over each other. A later rule replaces an earlier one of the same id. Two things guard the
// regulations: a later rule that loosens one is a problem at its place, and it is left out of the book; and a tighter
// rule of another kind (a railroad's own limit, which is no regulation) stands beside the regulation instead of taking
// it out of the book.
func Overlay(sets ...configs.Set) (*Book, []*measure.Problem) {
	b := &Book{}
	var problems []*measure.Problem
	for _, set := range sets {
		for _, r := range set.Rules {
			if p := b.lay(r); p != nil {
				problems = append(problems, p)
			}
		}
	}
	return b, problems
}

// lay puts one rule into the book.
func (b *Book) lay(r configs.Rule) *measure.Problem {
	law, own := b.find(r.ID, true), b.find(r.ID, false)
	if law >= 0 {
		if why := loosens(b.Rules[law], r); why != "" {
			old := b.Rules[law]
			return &measure.Problem{Place: r.Place, Field: "id",
				What: fmt.Sprintf("rule %q loosens a regulation: %s; here %s, in %s (%s) %s", r.ID, why, text(r),
					old.Set, old.Place, text(old)),
				Expected: "a rule at least as tight: all that " + old.Source + " condemns, " +
					"or an id of its own for a further rule"}
		}
	}
	at := own
	if r.Kind == regulation {
		at = law
	}
	switch {
	case at >= 0:
		b.Rules[at] = r
	case law >= 0 || own >= 0:
		b.Rules = slices.Insert(b.Rules, max(law, own)+1, r)
	default:
		b.Rules = append(b.Rules, r)
	}
	return nil
}

// find is the index of the rule with an id that is, or is not, a regulation; −1 if there is none.
func (b *Book) find(id string, law bool) int {
	return slices.IndexFunc(b.Rules, func(r configs.Rule) bool { return r.ID == id && (r.Kind == regulation) == law })
}

// SHA256 is the hash of the book, in hexadecimal: the same for the same rules, whatever file and order they came in.
func (b *Book) SHA256() string {
	b.summed.Do(func() { b.sum = b.hash() })
	return b.sum
}

func (b *Book) hash() string {
	lines := make([]string, len(b.Rules))
	for i, r := range b.Rules {
		lines[i] = canonical(r)
	}
	sort.Strings(lines)
	sum := sha256.Sum256([]byte(strings.Join(lines, "\n")))
	return hex.EncodeToString(sum[:])
}

// canonical is a rule as one line in which no two different rules are alike. A value counts, not how it is written; nor
// do the set and the file it came from.
func canonical(r configs.Rule) string {
	var f []string
	add := func(s ...string) {
		for _, x := range s {
			f = append(f, strconv.Quote(x))
		}
	}
	list := func(s []string) {
		s = slices.Clone(s)
		sort.Strings(s)
		f = append(f, strconv.Itoa(len(s)))
		add(slices.Compact(s)...)
	}
	add(r.ID, r.Subject)
	list(r.Classes)
	list(r.Kinds)
	list(r.Types)
	list(r.NotTypes)
	list(r.Services)
	list(r.Flanges)
	list(r.Trains)
	f = append(f, strconv.Itoa(len(r.Condemns)))
	for _, c := range r.Condemns {
		add(c.Quantity, c.Op, strconv.FormatFloat(c.Value, 'g', 12, 64))
		if c.Where {
			add("where")
		}
	}
	add(strconv.FormatBool(r.Reminder), r.Action, r.Source, r.Kind, r.Sure, r.Edition, r.Tell, r.Note)
	if x := r.Remedy; x != (configs.Remedy{}) {
		add(fmt.Sprint(x))
	}
	return strings.Join(f, " ")
}
