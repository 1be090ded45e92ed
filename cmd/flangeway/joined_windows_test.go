package main

import (
	"bytes"
	"strings"
	"testing"
)

// check "my yard\" --plain is one argument to Windows, since the backslash guards the
// quote mark; some shells complete names so.
func TestJoinedArguments(t *testing.T) {
	var out, errs bytes.Buffer
	if code := run([]string{"check", `my yard" --plain`}, nil, &out, &errs); code != exitInput ||
		!strings.Contains(errs.String(), "hint: a backslash before the closing quote mark") {
		t.Errorf("ends with %d and %q", code, errs.String())
	}
}
