package cli

import (
	"errors"
	"sync"

	"counterpoise/internal/chart"
	"counterpoise/internal/report"
	"counterpoise/sim/claim"
)

// drawFigures writes figures into a folder, several at a time.
func drawFigures(folder string, figures []report.Figure, l look) error {
	failed := make([]error, len(figures))
	var drawing sync.WaitGroup
	for i, f := range figures {
		drawing.Go(func() {
			_, failed[i] = chart.Save(folder, f.Name, f.Figure, l.size, l.theme)
		})
	}
	drawing.Wait()
	return errors.Join(failed...)
}
