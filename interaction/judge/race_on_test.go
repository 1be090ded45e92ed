//go:build race

package judge_test

// underRace says that the race detector is on: what is only slow arithmetic there, one
// survey after the other, is left to the volume run of .ci/run, which is without it.
const underRace = true
