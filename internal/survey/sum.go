package survey

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"path/filepath"
	"slices"

	"flangeway/internal/limit"
	"flangeway/internal/regular"
)

// Sum names a survey on every sheet that is made of it: SHA-256 over all its files (their names without the folder, and
// their bytes) and the limits in force, so that two pages with the same sum were made of the same readings, settings
// and limits. Edits that are tried are none of it.
func (s *Survey) Sum(book *limit.Book) string {
	whole := sha256.Sum256([]byte(s.sheets + book.SHA256()))
	return hex.EncodeToString(whole[:])
}

// sumDigits is how much of a sum stands on paper.
const sumDigits = 12

// Digits are the first digits of a sum, as they stand on paper.
func Digits(sum string) string { return sum[:min(sumDigits, len(sum))] }

// sumFiles is a sum over files that were read, whatever their order and their folder.
func sumFiles(list []string, in files) (string, error) {
	var parts [][]byte
	for _, name := range list {
		one, err := sumFile(name, in)
		if err != nil {
			return "", fmt.Errorf("%s was read and can be no longer: %s", name, regular.Why(err))
		}
		parts = append(parts, fmt.Appendf(nil, "%s\x00%x\n", filepath.Base(name), one))
	}
	slices.SortFunc(parts, bytes.Compare)
	all := sha256.Sum256(bytes.Join(parts, nil))
	return hex.EncodeToString(all[:]), nil
}

// sumFile is the sum of one file, which is not held in memory: a traced profile was not read yet and may be of any
// size.
func sumFile(name string, in files) ([]byte, error) {
	f, err := in.open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	h := sha256.New()
	if _, err := io.Copy(h, f); err != nil {
		return nil, err
	}
	return h.Sum(nil), nil
}

// traced are the files of traced profiles that wheels and places name and that stand beside the sheets.
func (s *Survey) traced() []string {
	var names, out []string
	for _, w := range s.Fleet.Wheels {
		names = append(names, w.Profile)
	}
	for _, f := range s.Track.Features {
		names = append(names, f.Profile)
	}
	slices.Sort(names)
	for _, name := range slices.Compact(names) {
		path := filepath.Join(s.Dir, name)
		if info, err := s.files.stat(path); name != "" && err == nil && info.Mode().IsRegular() {
			out = append(out, path)
		}
	}
	return out
}

// Carried are all files that a survey is made of, limits and traces among them.
func (s *Survey) Carried() []string { return append(slices.Clone(s.Files), s.traced()...) }
