package bulk

import "bytes"

// decimals finds the entries of texts that are written alike, so many digits before a point and behind it, by their
// digits as a number: neighbours lie side by side in memory. Other texts, and new ones, are looked for elsewhere.
type decimals struct {
	// A text is moved to the upper bytes of a word; marks of its digits, which they hold besides their values, and of
	// its point are taken away, and least is what makes a byte that is then too great overflow.
	up           uint
	marks, least uint64
	base         uint64   // the number of the first of entries
	entries      []uint16 // and 1; 0 for none
}

// maxDecimals bounds the list of entries.
const maxDecimals = 1 << 16

// number is a text's digits as a number, the point among them as a zero; ok is false for a text that is written
// otherwise. word may go on behind the text.
func (d *decimals) number(word uint64) (n uint64, ok bool) {
	w := word<<(d.up&63) ^ d.marks
	if (w|(w+d.least))&0x8080808080808080 != 0 {
		return 0, false
	}
	// two digits, four, eight
	w = w * (10<<8 + 1) >> 8 & 0x00FF00FF00FF00FF
	w = w * (100<<16 + 1) >> 16 & 0x0000FFFF0000FFFF
	return w * (10000<<32 + 1) >> 32, true
}

// find gives the entry of a text; ok is false if it is not known here.
func (d *decimals) find(word uint64) (entry int32, ok bool) {
	n, ok := d.number(word)
	if n -= d.base; !ok || n >= uint64(len(d.entries)) || d.entries[n] == 0 {
		return 0, false
	}
	return int32(d.entries[n]) - 1, true
}

// put keeps the entry of a text, of at most maxShort bytes, if it is written as the first one was.
func (d *decimals) put(text []byte, word uint64, entry int32) {
	if d.entries == nil {
		d.of(text)
	}
	n, ok := d.number(word)
	if !ok || entry >= 1<<16-1 {
		return
	}
	if d.entries == nil {
		d.base = n
	}
	if end := d.base + uint64(len(d.entries)); n < d.base || n >= end {
		const room = 256 // on either side
		base := min(d.base, n-min(n, room))
		end = max(end, n+room)
		if end-base > maxDecimals {
			return
		}
		list := make([]uint16, end-base)
		copy(list[d.base-base:], d.entries)
		d.base, d.entries = base, list
	}
	d.entries[n-d.base] = uint16(entry + 1)
}

// of makes a text the pattern of all.
func (d *decimals) of(text []byte) {
	d.up = 8 * uint(8-len(text))
	d.marks, d.least = 0, 0x7F7F7F7F7F7F7F7F
	point := bytes.IndexByte(text, '.')
	for i := range text {
		at := d.up + 8*uint(i)
		if i == point {
			d.marks |= '.' << at // nothing but the point leaves 0
			continue
		}
		d.marks |= '0' << at
		d.least -= 9 << at
	}
}
