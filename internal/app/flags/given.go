package flags

import (
	"slices"

	"github.com/spf13/pflag"
)

// ResultFlags are the flags of person, readiness and drivers that bear on results. They
// are written down in files, and no others are taken from a file, which anybody may
// have altered: what says where to write is none of them.
var ResultFlags = []string{
	"all-rows", "all-subsets", "along", "assist", "assume", "assumption-draws", "each-assumption", "endurance", "full-and-independent",
	"hold", "legs", "load", "max-evaluations", "models", "n", "of", "people", "pose", "regional-masses", "screen", "second-order",
	"seed", "segments", "sobol", "until", "where", "working-share", "worth",
}

// PresentationFlags are the others: they say where and how results are shown, and alter
// none of them; or, as --person, where to find what the file holds itself.
var PresentationFlags = []string{"full", "help", "json", "out", "person", "protocol", "size", "theme", "units", "workers"}

// GivenFlags returns the flags that were given and bear on the results, by name, so
// that the command can be run again.
func GivenFlags(f *pflag.FlagSet) map[string][]string {
	given := map[string][]string{}
	f.Visit(func(flag *pflag.Flag) {
		if !slices.Contains(ResultFlags, flag.Name) {
			return
		}
		if many, ok := flag.Value.(pflag.SliceValue); ok && flag.Value.Type() == "stringArray" {
			given[flag.Name] = many.GetSlice()
			return
		}
		given[flag.Name] = []string{flag.Value.String()}
	})
	return given
}
