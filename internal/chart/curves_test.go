package chart

import "counterpoise/internal/chart/curves"

// The figures of curves are tried in one battery with those of this package.
type (
	RequirementCurve = curves.RequirementCurve
	RequirementPanel = curves.RequirementPanel
	Group            = curves.Group
	Mark             = curves.Mark
	Along            = curves.Along
	Series           = curves.Series
	Lines            = curves.Lines
	Heat             = curves.Heat
	Axis             = curves.Axis
)

const MostCurves, MostCells, Little = curves.MostCurves, curves.MostCells, curves.Little
