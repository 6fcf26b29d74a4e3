package chart

import (
	"image/color"
	"math"
)

func rgb(hex uint32) color.RGBA {
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
		Background: rgb(0xFFFFFF), Ink: rgb(0x1B1F24), Muted: rgb(0x5C636B), Grid: rgb(0xE4E6E9), Zone: rgb(0xECEDEF),
		Before: rgb(0x3B8EC4), After: rgb(0x7C2F5F), Below: rgb(0x00606B), Above: rgb(0xE8871E),
		Force: rgb(0x1A5A96), Weight: rgb(0xA3441A), Moment: rgb(0x1D6B48),
	}
	Dark = Theme{
		Name:       "dark",
		Background: rgb(0x15191E), Ink: rgb(0xF3F4F5), Muted: rgb(0xA4ABB3), Grid: rgb(0x2E343B), Zone: rgb(0x2A3037),
		Before: rgb(0x7CC0EE), After: rgb(0xC763A0), Below: rgb(0x8ADDE6), Above: rgb(0xC9560A),
		Force: rgb(0x86BDF0), Weight: rgb(0xF0A37C), Moment: rgb(0x7FCFA4),
	}
)

// A Size is the outer measure of a figure with the type and lines that suit it.
type Size struct {
	Name string

	width, height      float64 // pt, 1/72 inch
	dotsPerInch        float64 // of the PNG
	margin             float64 // pt, all around
	title, text, small float64 // type sizes, pt
	thick, thin        float64 // line widths, pt
	least              float64 // pt, below which type cannot be read where this size is looked at
}

// The sizes. Slide is 16:9, 13⅓ × 7½ in (PNG 1920 × 1080); Post is 4:5
// (PNG 1080 × 1350); Column is a single column of a paper, 88 × 104 mm, and Print
// the width of the text on a page of A4, 170 × 120 mm (both PNG 300 dots per inch).
//
// No type is smaller than 10 pt on a slide (20 of its 1080 lines), 8.5 pt on a post
// (6 pt where a telephone shows it 375 pt wide), 5.5 pt in a column and 6 pt in print.
var (
	Slide = Size{
		Name: "slide", width: 960, height: 540, dotsPerInch: 144, margin: 36,
		title: 29, text: 17, small: 11.5, thick: 3.6, thin: 1.4, least: 10,
	}
	Post = Size{
		Name: "post", width: 540, height: 675, dotsPerInch: 144, margin: 27,
		title: 24, text: 14.5, small: 9.5, thick: 3.2, thin: 1.2, least: 8.5,
	}
	Column = Size{
		Name: "column", width: 88 * millimetre, height: 104 * millimetre, dotsPerInch: 300, margin: 7,
		title: 10.5, text: 7.2, small: 5.6, thick: 1.6, thin: 0.6, least: 5.5,
	}
	// Phone is of a page on a telephone 360 pixels of CSS wide, a pt a pixel; nothing in it is
	// smaller than 11.
	Phone = Size{
		Name: "phone", width: 320, height: 440, dotsPerInch: 144, margin: 9,
		title: 16, text: 12, small: 11, thick: 2.2, thin: 0.9, least: 11,
	}
	Print = Size{
		Name: "print", width: 170 * millimetre, height: 120 * millimetre, dotsPerInch: 300, margin: 8,
		title: 13, text: 8.6, small: 6.6, thick: 1.9, thin: 0.7, least: 6,
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
	z.width *= share
	return z
}

// shrunk is the size with its type made smaller by a share, as far as it can be
// read.
func (z Size) shrunk(share float64) Size {
	z.title, z.text, z.small = max(z.least, share*z.title), max(z.least, share*z.text), max(z.least, share*z.small)
	return z
}

// tall is the size with another height, in pt.
func (z Size) tall(height float64) Size {
	z.height = height
	return z
}

// note is the type size of explanations inside a figure.
func (z Size) note() float64 { return max(z.least, 0.85*z.text) }

const millimetre = 72 / 25.4 // pt

// mix returns the colour that lies the given share of the way from a to b.
func mix(a, b color.RGBA, share float64) color.RGBA {
	channel := func(x, y uint8) uint8 {
		return uint8(math.Round(float64(x) + share*(float64(y)-float64(x))))
	}
	return color.RGBA{channel(a.R, b.R), channel(a.G, b.G), channel(a.B, b.B), 0xFF}
}

// readable is the contrast that small text needs (W3C, Web Content
// Accessibility Guidelines 2.1, success criterion 1.4.3).
const readable = 4.5

// textColor moves c towards the ink until it can be read on the background.
func (t Theme) textColor(c color.RGBA) color.RGBA { return t.textColorOn(c, t.Background) }

// textColorOn moves c towards the ink until it can be read on the background and on a
// tint that lies on it.
func (t Theme) textColorOn(c, tint color.RGBA) color.RGBA {
	for step := range 20 {
		if m := mix(c, t.Ink, float64(step)/20); min(contrast(m, t.Background), contrast(m, tint)) >= readable {
			return m
		}
	}
	return t.Ink
}

// contrast is the ratio of two colours' luminances as the guidelines define it.
func contrast(a, b color.RGBA) float64 {
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

// shade is a scale of one colour, from nearly the background to nearly the ink, so that its
// lightness alone tells more from less.
func (t Theme) shade(share float64) color.RGBA {
	share = min(max(share, 0), 1)
	if share < 0.6 {
		return mix(mix(t.Background, t.Before, 0.12), t.Before, share/0.6)
	}
	return mix(t.Before, t.Ink, 0.6*(share-0.6)/0.4)
}

// pair are the colours of the body as it is and of the changed one.
func (t Theme) pair() []color.RGBA { return []color.RGBA{t.Before, t.After} }

// colours of what a free body shows.
type bodyColors struct{ near, far, outline, fixture, force, weight, moment color.RGBA }

func (t Theme) body() bodyColors {
	return bodyColors{
		near: mix(t.Background, t.Ink, 0.16), far: mix(t.Background, t.Ink, 0.07), outline: mix(t.Background, t.Ink, 0.42),
		fixture: t.Muted, force: t.Force, weight: t.Weight, moment: t.Moment,
	}
}
