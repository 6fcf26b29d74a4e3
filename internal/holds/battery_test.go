package holds_test

import (
	"testing"

	"counterpoise/internal/golden"
	"counterpoise/internal/holds"
	"counterpoise/sim/hold/holdtest"
)

// The holds that are shipped as descriptions pass the battery of those in closed form.
func TestBattery(t *testing.T) {
	shipped := holds.Shipped()
	if len(shipped) < 8 {
		t.Fatalf("only %d are shipped", len(shipped))
	}
	for _, o := range shipped {
		t.Run(o.Name, func(t *testing.T) {
			h := golden.Must(o.Hold())(t)
			holdtest.Battery(t, h)
		})
	}
}
