//go:build !js

package main

import (
	"fmt"
	"os"
)

// Outside of a page there is nothing to do.
func main() {
	fmt.Fprintln(os.Stderr, "engine: it runs in a page (flangeway pocket makes one)")
	os.Exit(2)
}
