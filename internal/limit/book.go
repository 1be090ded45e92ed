package limit

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"strings"

	"flangeway/configs"
	"flangeway/internal/measure"
)

// Book is an effective book of limits.
type Book struct {
	Rules   []configs.Rule
	byKind  map[string][]int // subject → rules
	classed map[string][]int // subject → rules of a track class
}

// Overlay lays the sets over each other: a rule with the id of an earlier one takes
// its place. A later rule may not loosen a regulation; each attempt is a problem at
// the later rule's place.
func Overlay(sets ...configs.Set) (*Book, []*measure.Problem) {
	b := &Book{byKind: map[string][]int{}, classed: map[string][]int{}}
	var problems []*measure.Problem
	index := map[string]int{}
	for _, set := range sets {
		for _, r := range set.Rules {
			i, overlays := index[r.ID]
			if !overlays {
				index[r.ID] = len(b.Rules)
				b.Rules = append(b.Rules, r)
				continue
			}
			if old := b.Rules[i]; old.Kind == "regulation" {
				if how := loosens(old, r); how != "" {
					problems = append(problems, &measure.Problem{Place: r.Place, Field: "id",
						What:     fmt.Sprintf("rule %q loosens a regulation of the set %s: %s", r.ID, old.Set, how),
						Expected: "the same or a tighter limit; " + old.Source})
					continue
				}
				r.Kind = old.Kind // a tightened regulation is still one
			}
			b.Rules[i] = r
		}
	}
	for i, r := range b.Rules {
		if r.Reminder {
			continue
		}
		b.byKind[r.Subject] = append(b.byKind[r.Subject], i)
		if len(r.Classes) > 0 {
			b.classed[r.Subject] = append(b.classed[r.Subject], i)
		}
	}
	return b, problems
}

// loosens says how a rule allows what an earlier one condemns; "" where it does
// not.
func loosens(old, r configs.Rule) string {
	if old.Reminder {
		return ""
	}
	if r.Reminder {
		return "it judges nothing"
	}
	if r.Subject != old.Subject {
		return fmt.Sprintf("it is about a %s, not a %s", r.Subject, old.Subject)
	}
	for _, w := range []struct {
		what     string
		old, now []string
	}{{"classes", old.Classes, r.Classes}, {"kinds", old.Kinds, r.Kinds}, {"types", old.Types, r.Types}} {
		if len(w.now) == 0 {
			continue
		}
		if len(w.old) == 0 || !subset(w.old, w.now) {
			return fmt.Sprintf("it applies to fewer %s", w.what)
		}
	}
	if !subset(r.NotTypes, old.NotTypes) {
		return "it leaves more frog types out"
	}
	for _, c := range r.Condemns { // every condition more must be met too, so each must be as wide as an old one
		ok := false
		for _, o := range old.Condemns {
			ok = ok || c.Quantity == o.Quantity && asTight(o, c)
		}
		if !ok {
			return fmt.Sprintf("it condemns %s %s %s only", c.Quantity, c.Op, c.Written)
		}
	}
	return ""
}

func subset(part, whole []string) bool {
	for _, x := range part {
		if !slices.Contains(whole, x) {
			return false
		}
	}
	return true
}

// asTight reports whether whatever old condemns, now condemns too.
func asTight(old, now configs.Condition) bool {
	if old.Op[0] != now.Op[0] {
		return false
	}
	d := now.Value - old.Value
	if old.Op[0] == '<' {
		d = -d // a higher floor is tighter
	}
	switch {
	case d < -near:
		return true
	case d > near:
		return false
	}
	return len(now.Op) >= len(old.Op) // the same value: "<=" condemns more than "<"
}

// SHA256 is the hash of the effective book, in hex: two reports with the same hash
// were judged by the same limits.
func (b *Book) SHA256() string {
	var s strings.Builder
	for _, r := range b.Rules {
		fmt.Fprintf(&s, "%q %q %q %q %q %q %q %q", r.ID, r.Subject, r.Classes, r.Kinds, r.Types, r.NotTypes, r.Kind, r.Action)
		for _, c := range r.Condemns {
			fmt.Fprintf(&s, " %s %s %.9f", c.Quantity, c.Op, c.Value)
		}
		s.WriteByte('\n')
	}
	sum := sha256.Sum256([]byte(s.String()))
	return hex.EncodeToString(sum[:])
}
