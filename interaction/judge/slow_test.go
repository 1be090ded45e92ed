package judge_test

import "testing"

// leftToVolumes skips a test under the race detector.
func leftToVolumes(t *testing.T) {
	t.Helper()
	if underRace {
		t.Skip("minutes of arithmetic under the race detector; the volume run of .ci/run runs it without")
	}
}
