package draw

import "fmt"

// Fits reports why a figure cannot be drawn at a size, or nil where it can. It writes
// nothing.
func Fits(f Figure, size Size, theme Theme) error {
	_, err := Layout(f, size, theme)
	return err
}

// A divisible figure can be shown in parts on the same axis.
type divisible interface {
	Figure
	Len() int
	Part(from, to int) Figure  // of the whole's items
	Numbered(k, of int) Figure // the k-th of several, from 1, said so where it is not plain
}

// Pages divides a figure of many rows into as few as can be drawn at a size in type of
// the full size, on the same axis, and fills these alike. Where a single row needs smaller type, as many rows
// stand together as can be drawn at all. What cannot be divided, or has a row that cannot be
// drawn at all, is its own only page.
func Pages(f Figure, size Size) []Figure {
	d, ok := f.(divisible)
	if !ok || fitsInFull(f, size) {
		return []Figure{f}
	}
	fits := fitsInFull
	for i := range d.Len() {
		if !fits(numbered(d.Part(i, i+1), 99, 99), size) {
			fits = func(f Figure, size Size) bool { return Fits(f, size, Light) == nil }
			if fits(f, size) {
				return []Figure{f}
			}
			break
		}
	}
	// As many rows as fit on each tell how many pages it takes; then these are filled alike, if so
	// many rows fit there too.
	fill := func(most func(from, page int) int) (pages []divisible) {
		for from := 0; from < d.Len(); {
			to := from + 1
			for to < min(most(from, len(pages)), d.Len()) && fits(numbered(d.Part(from, to+1), 99, 99), size) {
				to++
			}
			pages = append(pages, d.Part(from, to).(divisible))
			from = to
		}
		return pages
	}
	pages := fill(func(int, int) int { return d.Len() })
	few := len(pages)
	if even := fill(func(from, page int) int { return from + (d.Len()-from+few-page-1)/max(few-page, 1) }); len(even) == few {
		pages = even
	}
	if len(pages) <= 1 {
		return []Figure{f}
	}
	list := make([]Figure, len(pages))
	for k, page := range pages {
		if page.Len() == 1 && !fits(numbered(page, 99, 99), size) {
			return []Figure{f} // it is refused as a whole: "1 of 3" would ask for the others
		}
		list[k] = page.Numbered(k+1, len(pages))
	}
	return list
}

func numbered(f Figure, k, of int) Figure { return f.(divisible).Numbered(k, of) }

// fitsInFull says whether a figure fits without smaller type.
func fitsInFull(f Figure, size Size) bool {
	_, err := PlaceIn(f, size, Light, false)
	return err == nil
}

// NumberedTitle says in a title which of several figures one is.
func NumberedTitle(title string, k, of int) string {
	return fmt.Sprintf("%s (%d\u00a0of\u00a0%d)", title, k, of)
}
