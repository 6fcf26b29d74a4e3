package draw

import (
	"image/color"
	"math"
)

// RGB is an opaque colour, 0xRRGGBB.
func RGB(hex uint32) color.RGBA {
	return color.RGBA{uint8(hex >> 16), uint8(hex >> 8), uint8(hex), 0xFF}
}

// A Theme is the colours of a figure, by what they mean. Colours are opaque;
// tints are mixed with the background rather than drawn transparent, so that
// all formats print alike. Text in a series' colour is darkened or lightened
// as far as it must be to be read on the background, so a new theme needs no
// second set of colours for text.
type Theme struct {
	Name       string
	Background color.RGBA
	Ink        color.RGBA // title, values
	Muted      color.RGBA // axis text, foot line
	Grid       color.RGBA // grid lines
	Zone       color.RGBA // the zone of effects too small to matter
	Before     color.RGBA // the body as it is
	After      color.RGBA // the changed body, and on pages what is the reader's own
	Below      color.RGBA // effects below the zone: easier
	Above      color.RGBA // effects above the zone: harder
	Force      color.RGBA // in a free body
	Weight     color.RGBA
	Moment     color.RGBA
}

// The themes: Light for paper and pages, Dark for a projector in a dark room.
var (
	Light = Theme{
		Name:       "light",
		Background: RGB(0xFFFFFF), Ink: RGB(0x1B1F24), Muted: RGB(0x5C636B), Grid: RGB(0xE4E6E9), Zone: RGB(0xECEDEF),
		Before: RGB(0x3B8EC4), After: RGB(0x7C2F5F), Below: RGB(0x00606B), Above: RGB(0xE8871E),
		Force: RGB(0x1A5A96), Weight: RGB(0xA3441A), Moment: RGB(0x1D6B48),
	}
	Dark = Theme{
		Name:       "dark",
		Background: RGB(0x15191E), Ink: RGB(0xF3F4F5), Muted: RGB(0xA4ABB3), Grid: RGB(0x2E343B), Zone: RGB(0x2A3037),
		Before: RGB(0x7CC0EE), After: RGB(0xC763A0), Below: RGB(0x8ADDE6), Above: RGB(0xC9560A),
		Force: RGB(0x86BDF0), Weight: RGB(0xF0A37C), Moment: RGB(0x7FCFA4),
	}
)

// A Size is the outer measure of a figure with the type and lines that suit it.
type Size struct {
	Name string

	Width, Height      float64 // pt, 1/72 inch
	DotsPerInch        float64 // of the PNG
	Margin             float64 // pt, all around
	Title, Text, Small float64 // type sizes, pt
	Thick, Thin        float64 // line widths, pt
	Least              float64 // pt, below which type cannot be read where this size is looked at
	Within             bool    // a page that says around a figure what it is an answer to
}

// The sizes. Slide is 16:9, 13⅓ × 7½ in (PNG 1920 × 1080); Post is 4:5
// (PNG 1080 × 1350); Column is a single column of a paper, 88 × 104 mm, and Print
// the width of the text on a page of A4, 170 × 120 mm (both PNG 300 dots per inch).
//
// No type is smaller than 10 pt on a slide (20 of its 1080 lines), 8.5 pt on a post
// (6 pt where a telephone shows it 375 pt wide), 5.5 pt in a column and 6 pt in print.
var (
	Slide = Size{
		Name: "slide", Width: 960, Height: 540, DotsPerInch: 144, Margin: 36,
		Title: 29, Text: 17, Small: 11.5, Thick: 3.6, Thin: 1.4, Least: 10,
	}
	Post = Size{
		Name: "post", Width: 540, Height: 675, DotsPerInch: 144, Margin: 27,
		Title: 24, Text: 14.5, Small: 9.5, Thick: 3.2, Thin: 1.2, Least: 8.5,
	}
	Column = Size{
		Name: "column", Width: 88 * Millimetre, Height: 104 * Millimetre, DotsPerInch: 300, Margin: 7,
		Title: 10.5, Text: 7.2, Small: 5.6, Thick: 1.6, Thin: 0.6, Least: 5.5,
	}
	// Phone is of a page on a telephone 360 pixels of CSS wide, a pt a pixel; nothing in it is
	// smaller than 11.
	Phone = Size{
		Name: "phone", Width: 320, Height: 440, DotsPerInch: 144, Margin: 9,
		Title: 16, Text: 12, Small: 11, Thick: 2.2, Thin: 0.9, Least: 11,
	}
	Print = Size{
		Name: "print", Width: 170 * Millimetre, Height: 120 * Millimetre, DotsPerInch: 300, Margin: 8,
		Title: 13, Text: 8.6, Small: 6.6, Thick: 1.9, Thin: 0.7, Least: 6,
	}
)

// String is the size's name.
func (z Size) String() string { return z.Name }

// String is the theme's name.
func (t Theme) String() string { return t.Name }

// Sizes and Themes are all that the package offers, the default first.
var (
	Sizes  = []Size{Slide, Post, Column, Print}
	Themes = []Theme{Light, Dark}
)

// Broader is the size so many times as wide, in the same type.
func (z Size) Broader(share float64) Size {
	z.Width *= share
	return z
}

// Shrunk is the size with its type made smaller by a share, as far as it can be
// read.
func (z Size) Shrunk(share float64) Size {
	z.Title, z.Text, z.Small = max(z.Least, share*z.Title), max(z.Least, share*z.Text), max(z.Least, share*z.Small)
	return z
}

// Tall is the size with another height, in pt.
func (z Size) Tall(height float64) Size {
	z.Height = height
	return z
}

// Note is the type size of explanations inside a figure.
func (z Size) Note() float64 { return max(z.Least, 0.85*z.Text) }

const Millimetre = 72 / 25.4 // pt

// Mix returns the colour that lies the given share of the way from a to b.
func Mix(a, b color.RGBA, share float64) color.RGBA {
	channel := func(x, y uint8) uint8 {
		return uint8(math.Round(float64(x) + share*(float64(y)-float64(x))))
	}
	return color.RGBA{channel(a.R, b.R), channel(a.G, b.G), channel(a.B, b.B), 0xFF}
}

// Readable is the contrast that small text needs (W3C, Web Content
// Accessibility Guidelines 2.1, success criterion 1.4.3).
const Readable = 4.5

// TextColor moves c towards the ink until it can be read on the background.
func (t Theme) TextColor(c color.RGBA) color.RGBA { return t.TextColorOn(c, t.Background) }

// TextColorOn moves c towards the ink until it can be read on the background and on a
// tint that lies on it.
func (t Theme) TextColorOn(c, tint color.RGBA) color.RGBA {
	for step := range 20 {
		if m := Mix(c, t.Ink, float64(step)/20); min(Contrast(m, t.Background), Contrast(m, tint)) >= Readable {
			return m
		}
	}
	return t.Ink
}

// Contrast is the ratio of two colours' luminances as the guidelines define it.
func Contrast(a, b color.RGBA) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func luminance(c color.RGBA) float64 {
	linear := func(v uint8) float64 {
		s := float64(v) / 255
		if s <= 0.04045 {
			return s / 12.92
		}
		return math.Pow((s+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// Shade is a scale of one colour, from nearly the background to nearly the ink, so that its
// lightness alone tells more from less.
func (t Theme) Shade(share float64) color.RGBA {
	share = min(max(share, 0), 1)
	if share < 0.6 {
		return Mix(Mix(t.Background, t.Before, 0.12), t.Before, share/0.6)
	}
	return Mix(t.Before, t.Ink, 0.6*(share-0.6)/0.4)
}

// Pair are the colours of the body as it is and of the changed one.
func (t Theme) Pair() []color.RGBA { return []color.RGBA{t.Before, t.After} }

// colours of what a free body shows.
type bodyColors struct{ Near, Far, Outline, Fixture, Force, Weight, Moment color.RGBA }

// Body are the colours of a body and of what acts on it.
func (t Theme) Body() bodyColors {
	return bodyColors{
		Near: Mix(t.Background, t.Ink, 0.16), Far: Mix(t.Background, t.Ink, 0.07), Outline: Mix(t.Background, t.Ink, 0.5),
		Fixture: t.Muted, Force: t.Force, Weight: t.Weight, Moment: t.Moment,
	}
}
