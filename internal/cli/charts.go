package cli

import (
	"errors"
	"sync"

	"counterpoise/internal/chart"
	"counterpoise/internal/report"
	"counterpoise/sim/claim"
)

// drawCharts writes the figures of a result into a folder, several at a time.
func drawCharts(folder string, r *claim.Result, o claim.Options) error {
	figures, err := report.Figures(r, o.Assumptions.Centre)
	if err != nil {
		return err
	}
	failed := make([]error, len(figures))
	var drawing sync.WaitGroup
	for i, f := range figures {
		drawing.Go(func() {
			_, failed[i] = chart.Save(folder, f.Name, f.Figure, chart.Slide, chart.Light)
		})
	}
	drawing.Wait()
	return errors.Join(failed...)
}
