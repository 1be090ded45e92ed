package interaction

// Options narrow what is judged; empty means all.
type Options struct {
	Location string
	Car      string
	Check    string
	// Keep says that other readings will be judged by the same engine: what was made for the readings as they are is
	// kept for them, as far as it is not too much.
	Keep bool
}
