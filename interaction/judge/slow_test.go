package judge_test

import (
	"os"
	"testing"

	"flangeway/internal/fixture"
)

func TestMain(m *testing.M) { os.Exit(fixture.Spacious{M: m}.Run()) }

// leftToVolumes skips a test under the race detector.
func leftToVolumes(t *testing.T) {
	t.Helper()
	fixture.LeftToVolumes(t)
}
