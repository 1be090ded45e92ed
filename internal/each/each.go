// Package each makes a list of what a function gives for every member of another, and finds the first member that
// answers to something.
package each

import "slices"

// Of lists what f makes of each member; nil for none.
func Of[T, U any](list []T, f func(T) U) (out []U) {
	for _, x := range list {
		out = append(out, f(x))
	}
	return out
}

// First is the first member of which ok is true.
func First[T any](list []T, ok func(T) bool) (first T, found bool) {
	if i := slices.IndexFunc(list, ok); i >= 0 {
		return list[i], true
	}
	return first, false
}
