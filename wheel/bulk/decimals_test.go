package bulk

import (
	"encoding/binary"
	"math/rand/v2"
	"testing"
)

// Texts are found by their digits as by themselves: what was never put is not found, however alike it is written.
func TestDecimals(t *testing.T) {
	word := func(text string) uint64 { // with something behind it
		b := [8]byte{',', '9', ',', '1', '.', '\n', '2', '3'}
		copy(b[copy(b[:], text):], ",1.5")
		return binary.LittleEndian.Uint64(b[:])
	}
	const letters = "0123456789./-:>;,\x00\xb0 "
	for seed := range uint64(200) {
		r := rand.New(rand.NewPCG(seed, 5))
		var d decimals
		put, n := map[string]int32{}, 1+r.IntN(maxShort)
		text := func() string {
			b := make([]byte, n)
			for i := range b {
				b[i] = letters[r.IntN(11)]
				if r.IntN(20) == 0 {
					b[i] = letters[r.IntN(len(letters))]
				}
			}
			if n > 2 && r.IntN(5) > 0 {
				b[n/2] = '.'
			}
			return string(b)
		}
		found := 0
		for i := range 2000 {
			s := text()
			entry, known := d.find(word(s))
			if want, was := put[s]; known && (!was || entry != want) {
				t.Fatalf("seed %d: %q is found as %d, put %d %t", seed, s, entry, want, was)
			}
			if known {
				found++
			}
			if _, was := put[s]; !was {
				put[s] = int32(i)
				d.put([]byte(s), word(s), int32(i))
			}
		}
		if n < 4 && found == 0 {
			t.Errorf("seed %d: nothing was found of %d bytes", seed, n)
		}
	}
}
