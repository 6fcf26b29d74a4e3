package cli

import (
	"counterpoise/internal/chart"
	"counterpoise/internal/report"
	"counterpoise/sim/claim"
)

// drawCharts writes the figures of a result into a folder.
func drawCharts(folder string, r *claim.Result, o claim.Options) error {
	figures, err := report.Figures(r, o.Assumptions.Centre)
	if err != nil {
		return err
	}
	for _, f := range figures {
		if _, err := chart.Save(folder, f.Name, f.Figure, chart.Slide, chart.Light); err != nil {
			return err
		}
	}
	return nil
}
