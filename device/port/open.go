package port

import (
	"context"
	"fmt"
)

// Open opens a serial, tcp or rfc2217 address and starts reading it. The context bounds the opening
// only. Errors are *Error and name what to do.
func Open(ctx context.Context, addr Address, o Options) (*Port, error) {
	if o.Now == nil {
		return nil, &Error{Code: BadMode, Addr: addr.String(), Cause: "no clock was given", Do: "set Options.Now"}
	}
	o.Mode = o.Mode.WithDefaults()
	if err := o.Mode.Validate(); err != nil {
		return nil, err
	}
	switch addr.Kind {
	case TTY:
		return openTTY(addr, o)
	case TCP:
		return openNetwork(ctx, addr, o, func(c conn) (Link, []string, error) { return c, nil, nil })
	case RFC2217:
		return openNetwork(ctx, addr, o, func(c conn) (Link, []string, error) { return openRFC2217(ctx, c, o.Mode) })
	}
	return nil, &Error{Code: BadAddress, Addr: addr.String(), Cause: fmt.Sprintf("%q is not opened here", addr.Kind),
		Do: "use a device path, tcp:// or rfc2217://"}
}
