package device

import "springline/device/port"

// Identity is what tells one adapter from another ([port.Identity]), in the words of whoever records a gauge's
// connection and knows no ports.
type Identity = port.Identity

// ParseMode reads the setting of a serial line in words, such as "4800 7E1" ([port.ParseMode]).
func ParseMode(text string) (port.Mode, error) { return port.ParseMode(text) }
