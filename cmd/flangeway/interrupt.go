package main

import (
	"context"

	"flangeway/cmd/flangeway/internal/cli"
)

// unlessInterrupted waits for work that writes nothing, or for an interrupt: the work
// is then left alone and the program ends around it. What the work sets must not be
// looked at behind its error.
func unlessInterrupted(ctx context.Context, work func() error) error {
	done := make(chan error, 1)
	go func() { done <- work() }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
		return cli.Interrupted("there is no result")
	}
}
