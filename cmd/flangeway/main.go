// Command flangeway joins the track department's book and the car department's, and judges every wheel on every place.
package main

import (
	"os"

	"github.com/inconshreveable/mousetrap"
	"github.com/spf13/cobra"
)

func main() {
	cobra.MousetrapHelpText = "" // start has a screen of its own
	os.Exit(start(os.Args[1:], mousetrap.StartedByExplorer(), os.Stdin, os.Stdout, os.Stderr))
}
