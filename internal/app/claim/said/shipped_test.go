package said

import (
	"context"
	"fmt"
	"sync"
	"testing"

	"counterpoise/internal/outcome"
	"counterpoise/internal/study"
	"counterpoise/sim/claim"
)

// shipped tests all shipped claims on few bodies and as few draws as there may be, once.
var shipped = sync.OnceValues(func() ([]*outcome.Result, error) {
	var results []*outcome.Result
	for _, name := range study.ClaimNames() {
		c, err := study.ShippedClaim(name)
		if err != nil {
			return nil, err
		}
		o := claim.DefaultOptions()
		o.N, o.Draws = 1000, claim.LeastDraws
		r, err := outcome.Test(context.Background(), c, o)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		results = append(results, r)
	}
	return results, nil
})

// Shipped are the results of all shipped claims, tested once.
func Shipped(t *testing.T) []*outcome.Result {
	t.Helper()
	results, err := shipped()
	if err != nil {
		t.Fatal(err)
	}
	if len(results) < 30 {
		t.Fatalf("%d claims are shipped", len(results))
	}
	return results
}
