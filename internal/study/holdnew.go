package study

import (
	"cmp"
	_ "embed"
	"fmt"
	"strings"
)

//go:embed holdnew.yaml
var holdExample string

// exampleName is what the hold of the example is called.
const exampleName = "bent-arm-lever"

// NewHold returns a commented file that describes a hold, of that name, or of the
// example's where it is empty. The file is valid as it is.
func NewHold(name string) ([]byte, error) {
	name = cmp.Or(name, exampleName)
	if !ofHolds.MatchString(name) || len(name) > mostNamed {
		return nil, fmt.Errorf("%q is not a valid name: use small letters, digits and single hyphens, as in %s", printable(name), exampleName)
	}
	text := strings.Replace(holdExample, "hold: "+exampleName, "hold: "+name, 1)
	if _, err := ReadOutline(name+".yaml", []byte(text)); err != nil {
		return nil, err
	}
	return []byte(text), nil
}
