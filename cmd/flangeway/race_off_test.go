//go:build !race

package main

// underRace says that the tests run under the race detector.
const underRace = false
