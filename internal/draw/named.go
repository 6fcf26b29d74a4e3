package draw

import (
	"fmt"
	"strings"
)

// Named is a chart with the name of its files.
type Named struct {
	Name   string
	Figure Figure
}

// Paged divides every chart of many rows into as few as can be drawn at a size, name,
// name-2 and so on.
func Paged(figures []Named, size Size) []Named {
	var list []Named
	for _, f := range figures {
		for k, page := range Pages(f.Figure, size) {
			name := f.Name
			if k > 0 {
				name = fmt.Sprintf("%s-%d", name, k+1)
			}
			list = append(list, Named{name, page})
		}
	}
	return list
}

// FileName turns a model's name into a part of a file name.
func FileName(model string) string {
	return strings.ReplaceAll(strings.ReplaceAll(model, ", ", "-"), " ", "-")
}
