package paper

import "testing"

func TestThousands(t *testing.T) {
	for cents, want := range map[int64]string{0: "0", 99900: "999", 100000: "1,000", 123456789: "1,234,567.89",
		-100000000: "-1,000,000"} {
		if got := thousands(cents); got != want {
			t.Errorf("%d cents are %s, want %s", cents, got, want)
		}
	}
}
