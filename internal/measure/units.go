package measure

// Units of the trade in those of the program, exact by definition.
const (
	NewtonsPerPound       = 4.4482216152605 // pound-force: 0.45359237 kg times standard gravity
	MetresPerSecondPerMPH = 0.44704
	StandardGravity       = 9.80665 // m/s²
)
