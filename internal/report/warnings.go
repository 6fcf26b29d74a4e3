package report

import "counterpoise/internal/outcome"

// Warnings are what is to be known of a result beside what it says.
func Warnings(r *outcome.Result) []string { return r.Warnings }
