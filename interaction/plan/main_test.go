package plan

import (
	"os"
	"testing"

	"flangeway/internal/fixture"
)

func TestMain(m *testing.M) { os.Exit(fixture.Spacious{M: m}.Run()) }
