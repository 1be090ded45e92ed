package configs

import "testing"

// Every built-in file must load; a defective one would stop every command.
func TestBuiltInDataLoads(t *testing.T) {
	d, err := Load()
	if err != nil {
		t.Fatal(err)
	}
	if len(d.Sections) < 6 || len(d.Designs) < 2 || len(d.Settings) < 15 {
		t.Errorf("too little was read: %d sections, %d designs, %d settings", len(d.Sections), len(d.Designs),
			len(d.Settings))
	}
}
