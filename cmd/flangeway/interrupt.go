package main

import "context"

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
		return inputf("interrupted; there is no result")
	}
}
