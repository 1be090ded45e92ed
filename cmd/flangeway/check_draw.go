package main

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"flangeway/cmd/flangeway/internal/paper"
)

// drawLocations writes one drawing for each location of the result into a folder, which is made if there is none: its
// worst pair to scale.
func (j judged) drawLocations(dir string) error {
	var names []string
	for _, l := range j.Places {
		names = append(names, l.Name)
	}
	files := drawingNames(names)
	drawings := make([][]byte, len(j.Places))
	for i, l := range j.Places {
		_, svg, err := paper.DrawnPair(j.Result.Engine(), l.Findings, "place")
		if err != nil {
			return err
		}
		drawings[i] = paper.UnitsOf(j.Survey).Drawn(svg, j.Survey)
	}
	// Nothing is written before all drawings stand and the folder can hold them.
	made := false
	switch info, err := os.Stat(dir); {
	case errors.Is(err, fs.ErrNotExist):
		if err := os.Mkdir(dir, 0o755); err != nil {
			return inputf("the folder %s for the drawings cannot be made: %s", dir, fault(err))
		}
		made = true
	case err != nil:
		return inputf("the folder %s for the drawings cannot be used: %s", dir, fault(err))
	case !info.IsDir():
		return inputf("%s is no folder (expected one for the drawings)", dir)
	}
	inputs := inputsOf(j.Survey)
	var written []string
	for i, name := range files {
		file := filepath.Join(dir, name)
		if _, err := os.Lstat(file); errors.Is(err, fs.ErrNotExist) {
			written = append(written, file)
		}
		if err := writeWhole(file, drawings[i], inputs...); err != nil {
			for _, f := range written { // none rather than some of them
				os.Remove(f)
			}
			if made {
				os.Remove(dir)
			}
			return err
		}
	}
	return nil
}

// longFile is how many characters of a name go into the name of a file.
const longFile = 48

// drawingNames gives each location the name of its drawing: its letters and digits in lower case, safe on every system.
// If that says less than the name, so that two could be one, the first digits of the name's SHA-256 are added.
func drawingNames(names []string) []string {
	slugs, count := make([]string, len(names)), map[string]int{}
	for i, n := range names {
		slugs[i] = slug(n)
		count[slugs[i]]++
	}
	out := make([]string, len(names))
	for i, n := range names {
		s := slugs[i]
		if count[s] > 1 || s == "" || len(n) > longFile || reserved(s) {
			sum := sha256.Sum256([]byte(n))
			s = strings.Trim(s+"-"+hex.EncodeToString(sum[:4]), "-")
		}
		out[i] = s + ".svg"
	}
	return out
}

// slug keeps letters a to z and digits; whatever lies between becomes one hyphen.
func slug(name string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(name) {
		if b.Len() >= longFile {
			break
		}
		if r >= 'a' && r <= 'z' || r >= '0' && r <= '9' {
			if gap && b.Len() > 0 {
				b.WriteByte('-')
			}
			b.WriteRune(r)
			gap = false
			continue
		}
		gap = true
	}
	return b.String()
}

// reserved reports the names of devices that Windows takes for no file.
func reserved(s string) bool {
	switch s {
	case "con", "prn", "aux", "nul":
		return true
	}
	return len(s) == 4 && (strings.HasPrefix(s, "com") || strings.HasPrefix(s, "lpt"))
}
