// Package counterpoise is the sources that the program is built from, which it carries so that
// outputs can say what code made them, whoever built it and from whatever state of the
// sources.
package counterpoise

import "embed"

// Sources are the program's own sources and the versions of all others. Data sets are left
// out, as outputs name each by a hash of its own.
//
//go:embed go.mod go.sum cmd/*/*.go datasets/*.go
//go:embed sim/*/*.go sim/*/*/*.go sim/*/*/*/*.go sim/montecarlo/*.txt
//go:embed internal/*/*.go internal/*/*/*.go internal/*/*/*/*.go internal/*/*.json internal/notices/*.gz
//go:embed internal/study/*.yaml internal/study/claims/*.yaml internal/study/schema/*.json internal/cli/outputs/*.json
//go:embed internal/page/*.html internal/page/*.css internal/site/page
var Sources embed.FS
