//go:build !race

package interaction_test

const underRace = false
