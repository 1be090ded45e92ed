package main

import (
	"flangeway/cmd/flangeway/internal/export"
	"flangeway/internal/regular"
)

// maxReport caps an earlier report; one without --all-pairs is far smaller.
const maxReport = 1 << 30

// readReport reads an earlier report of check --format json.
func readReport(name string) (*export.Report, error) {
	data, err := regular.Read(name, maxReport)
	if err != nil {
		return nil, inputf("%s: there is no report that can be read: %s (expected one made with check --format json)",
			name, regular.Why(err))
	}
	r := export.ReadReport(data)
	if r == nil {
		return nil,
			inputf("%s: this is not a report of flangeway check (expected one made with check --format json)", name)
	}
	return r, nil
}
