package chart

// Fits reports why a figure cannot be drawn at a size in type of the full size, or
// nil where it can. It writes nothing. What does not fit can be divided; Save makes
// the type smaller, as far as it can be read.
func Fits(f Figure, size Size, theme Theme) error {
	_, err := place(f, size, theme)
	return err
}
