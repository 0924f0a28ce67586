package flange

import (
	"seamwright/geometry/centreline"
	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
)

// What the rest of the program says of sheets, and of what ends strips, is defined where the finder works with it.
type (
	Sheet   = surface.Sheet
	Surface = surface.Surface
	Face    = surface.Face
	Edge    = region.Edge
	Hole    = region.Hole
	Notch   = centreline.Notch
	Sides   = stackup.Sides
	Clamps  = stackup.Clamps
	Near    = stackup.Near
)

// The ways to mesh a panel, and which face of the sheet a skin is.
const (
	Mid    = surface.Mid
	Skin   = surface.Skin
	Solid  = surface.Solid
	Outer  = surface.Outer
	Faying = surface.Faying
)

// What a strip may end at.
const (
	FreeEdge   = region.FreeEdge
	Bend       = region.Bend
	GapOpens   = region.GapOpens
	StackEnds  = region.StackEnds
	UnknownEnd = region.UnknownEnd
)

// How it is known on which side of its skins the metal of a flange lies.
const (
	SidesKnown     = stackup.SidesKnown
	SidesByNormals = stackup.SidesByNormals
	SidesGuessed   = stackup.SidesGuessed
)

// The errors of panels that are too large or too far away.
var (
	ErrFarAway  = surface.ErrFarAway
	ErrTooLarge = region.ErrTooLarge
)
