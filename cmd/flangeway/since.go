package main

import (
	"encoding/json"
	"os"

	"flangeway/cmd/flangeway/internal/export"
)

// maxReport caps an earlier report; one without --all-pairs is far smaller.
const maxReport = 1 << 30

// readReport reads an earlier report of check --format json.
func readReport(name string) (*export.Report, error) {
	info, err := os.Stat(name)
	if err != nil || !info.Mode().IsRegular() || info.Size() > maxReport {
		return nil, inputf("%s: there is no report that can be read (expected one made with check --format json)", name)
	}
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, inputf("%s: the report cannot be read", name)
	}
	var r export.Report
	if err := json.Unmarshal(data, &r); err != nil || r.Schema != 1 || r.Locations == nil {
		return nil, inputf("%s: this is not a report of flangeway check (expected one made with check --format json)",
			name)
	}
	return &r, nil
}
