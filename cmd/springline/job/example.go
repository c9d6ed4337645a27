package job

import (
	_ "embed"
	"slices"
)

//go:embed example.toml
var example []byte

// Example returns a commented job file to fill in.
func Example() []byte { return slices.Clone(example) }
