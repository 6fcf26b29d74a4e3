package study

import (
	"embed"
	"fmt"
	"io/fs"
	"strings"

	"counterpoise/internal/called"
	"counterpoise/sim/claim"
	"counterpoise/sim/names"
)

//go:embed claims/*.yaml
var claims embed.FS

// ClaimNames lists the shipped claims, sorted.
func ClaimNames() []string {
	entries, _ := claims.ReadDir("claims") // an embedded folder can always be read
	return names.Each(entries, func(e fs.DirEntry) string { return strings.TrimSuffix(e.Name(), ".yaml") })
}

// ClaimText returns a shipped claim as the file that it is.
func ClaimText(name string) ([]byte, error) {
	text, err := claims.ReadFile("claims/" + name + ".yaml")
	if err != nil {
		known := ClaimNames()
		return nil, fmt.Errorf("unknown claim %q%s; shipped: %s; a file's path needs a slash or a dot", name, called.Suggest(name, known), strings.Join(known, ", "))
	}
	return text, nil
}

// ShippedClaim reads a shipped claim.
func ShippedClaim(name string) (*claim.Claim, error) {
	text, err := ClaimText(name)
	if err != nil {
		return nil, err
	}
	return ReadClaim(name+".yaml", text)
}
