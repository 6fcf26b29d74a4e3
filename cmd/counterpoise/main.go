// Command counterpoise tests rules of thumb about static bodyweight holds over
// simulated bodies drawn from surveys.
package counterpoise

import (
	"context"
	"os"

	"counterpoise/internal/cli"
)

func main() {
	os.Exit(cli.Main(context.Background(), os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
