package cli

import "counterpoise/sim/claim"

func drawCharts(dir string, c *claim.Claim, r *claim.Result, o claim.Options) error { return nil }
