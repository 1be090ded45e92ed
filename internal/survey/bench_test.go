package survey_test

import (
	"testing"

	"flangeway/internal/survey"
)

// BenchmarkReadSurvey reads the demo from disk: 400 wheels, 50 cars, five sheets of track, four limit sets.
func BenchmarkReadSurvey(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		if _, err := survey.Read("../../testdata/demo"); err != nil {
			b.Fatal(err)
		}
	}
}
