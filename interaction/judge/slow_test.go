package judge_test

import (
	"testing"

	"flangeway/internal/fixture"
)

// leftToVolumes skips a test under the race detector.
func leftToVolumes(t *testing.T) {
	t.Helper()
	fixture.LeftToVolumes(t)
}
