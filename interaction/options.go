package interaction

// Options narrow what is judged; empty means all.
type Options struct {
	Location string
	Car      string
	Check    string
}
