package output

import (
	"errors"
	"fmt"
	"runtime"
	"sync"

	"counterpoise/internal/app/console"
	"counterpoise/internal/app/flags"
	"counterpoise/internal/chart"
)

// Placed is a chart with the folder that it goes to.
type Placed struct {
	folder string
	chart.Named
}

// PlacedIn puts charts into a folder.
func PlacedIn(folder string, figures []chart.Named) []Placed {
	list := make([]Placed, len(figures))
	for i, f := range figures {
		list[i] = Placed{folder, f}
	}
	return list
}

// Draw writes charts, several at a time, divided where the size asks for it. One that
// cannot be drawn so that it can be read is left out, and told of: the numbers are in
// the table and the summary.
func Draw(env *console.Environment, l flags.Look, figures []Placed) error {
	size, theme, err := l.Resolve()
	if err != nil || l.None {
		return err
	}
	type outcome struct {
		left   []string // messages on charts left out
		failed error
	}
	outcomes := make([]outcome, len(figures))
	queue := make(chan int)
	var drawing sync.WaitGroup
	for range min(len(figures), max(4, runtime.GOMAXPROCS(0))) {
		drawing.Go(func() {
			for i := range queue {
				out := &outcomes[i]
				for _, f := range chart.Paged([]chart.Named{figures[i].Named}, size) {
					_, err := chart.Save(figures[i].folder, f.Name, f.Figure, size, theme)
					var refused *chart.Refusal
					if errors.As(err, &refused) {
						out.left = append(out.left, fmt.Sprintf("the chart %s is left out: %v", f.Name, err))
					} else if err != nil {
						out.failed = err
					}
				}
			}
		})
	}
	for i := range figures {
		queue <- i
	}
	close(queue)
	drawing.Wait()
	for _, out := range outcomes {
		for _, text := range out.left {
			fmt.Fprintln(env.Stderr, "counterpoise: "+text)
		}
	}
	for _, out := range outcomes {
		if out.failed != nil {
			return out.failed // of many for one reason, such as a full disk
		}
	}
	return nil
}
