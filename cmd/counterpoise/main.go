// Command counterpoise tests rules of thumb about static bodyweight holds over
// simulated bodies drawn from surveys.
package main

import (
	"context"
	"os"

	"counterpoise"
	"counterpoise/internal/cli"
	"counterpoise/internal/provenance"
)

func main() {
	provenance.SetSources(counterpoise.Sources)
	os.Exit(cli.Main(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
