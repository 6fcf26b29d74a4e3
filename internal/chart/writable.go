package chart

// Writable says whether the font has a glyph for every character of a text, so
// that a figure can show it.
func Writable(text string) bool { return checkGlyphs(text) == nil }
