package chart

// Fits reports why a figure cannot be drawn at a size, or nil where it can. It
// writes nothing.
func Fits(f Figure, size Size, theme Theme) error {
	_, err := layout(f, size, theme)
	return err
}
