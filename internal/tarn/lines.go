package tarn

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/internal/tarn/swage"
)

// Sheet thicknesses in mm; shell.yaml states the same.
const (
	roofSheet       = 0.8
	frameSheet      = 1.0
	outerSheet      = 0.9
	innerSheet      = 1.0
	stiffenerSheet  = 1.2
	wheelhouseSheet = 0.8
	frontSheet      = 0.9
	lampSheet       = 0.8
	scuttleSheet    = 0.9
	rearSheet       = 0.9
	railSheet       = 1.2
	floorSheet      = 1.5
	sillSheet       = 1.2
	crossSheet      = 1.5
)

const (
	floorTop    = floorHeight + floorSheet/2
	floorUnder  = floorHeight - floorSheet/2
	pinchStand  = 26.0 // mm from a body to the weld line of a flange that stands off it, so that a gun's arm passes beside
	flangeHalf  = 8.0  // half the usual overlap
	bendRadius  = 4.0
	floorHalf   = 9.0  // on the floor's thicker sheets
	pillarStand = 24.0 // mm from the inner skin to the weld line at the window pillars
	openingSink = 33.0 // depth of the door and window flanges below the outer skin
)

// lines are all seams of the cab; of pairs, the left one.
type lines struct {
	gutter, cantrail, door, quarter, screen, rearWindow      *seam
	frontSide, scuttleEnd, scuttleFront, frontFoot, lamp     *seam
	rearSide, rearFoot, railTop, railBottom, arch, wheelFoot *seam
	sillInner, sillOuter                                     *seam

	cross                  [3][2]*seam // front, middle and rear cross-member: rear and front line
	doorStiff, screenStiff [2]float64  // where the pillar stiffener lies between the skins, by arc length
}

func newLines() *lines {
	l := &lines{}
	l.layTop()
	l.layOpenings()
	l.layPillar()
	l.layFront()
	l.layRear()
	l.layArch()
	l.layFloor()
	return l
}

// layTop lays the gutter round the roof and the lines under it along the sides.
func (l *lines) layTop() {
	plan, length := swage.Rounded([]swage.Corner{
		{gutterX + gutterLong, -gutterWide, gutterCorner}, {gutterX + gutterLong, gutterWide, gutterCorner},
		{gutterX - gutterLong, gutterWide, gutterCorner}, {gutterX - gutterLong, -gutterWide, gutterCorner},
	})
	l.gutter = &seam{
		course: newCourse(func(t float64) r3.Vector {
			x, y := plan(t)
			return r3.Vector{X: x, Y: y, Z: gutterZ(x, y)}
		}, 0, length, true),
		normal: gutterNormal,
		across: func(p r3.Vector) r3.Vector { return p.Sub(r3.Vector{X: gutterX, Z: p.Z}) }, // outward: only the sign counts
		half:   5.7,
	}
	l.gutter.spread = breathing(l.gutter.length(), 700, 0.12)

	l.cantrail = &seam{
		course: newCourse(cantrailPoint, 1215, 230, false),
		normal: sideNormal,
		across: constant(0, 0, 1),
		half:   flangeHalf,
		spread: func(float64) float64 { return frameSheet },
	}
}

// cantrailPoint is the weld line under the gutter at x: it also serves a little beyond the seam's ends.
func cantrailPoint(x float64) r3.Vector {
	return sideInside(x, gutterZ(x, gutterWide)-27, (frameSheet+outerSheet)/2)
}

// layOpenings lays the flanges of the door, the quarter window and the rear window.
func (l *lines) layOpenings() {
	inSide := func(corners []swage.Corner, x, z float64) *seam {
		plan, length := swage.Rounded(corners)
		return &seam{
			course: newCourse(func(t float64) r3.Vector {
				x, z := plan(t)
				return sideInside(x, z, openingSink)
			}, 0, length, true),
			normal: sideNormal,
			across: towards(x, 500, z),
			half:   flangeHalf,
		}
	}
	l.door = inSide([]swage.Corner{
		{790, 234, 80}, {1285, 234, 80}, {1285, 590, 300}, {1190, 1338, 90}, {560, 1338, 90}, {560, 770, 160}, {790, 480, 160},
	}, 900, 750)
	l.quarter = inSide([]swage.Corner{{198, 850, 70}, {448, 850, 70}, {448, 1335, 70}, {228, 1335, 70}}, 330, 1090)

	l.quarter.spread = breathing(l.quarter.length(), 500, 0.15)

	l.rearWindow = &seam{
		course: newCourse(func(z float64) r3.Vector {
			x := rearWindowX(z)
			return r3.Vector{X: x, Y: sideY(x+20, z) - boxDepth - pillarStand, Z: z}
		}, 813, 1425, false),
		normal: constant(-1, 0, 0.1),
		across: constant(0, -1, 0),
		half:   flangeHalf,
	}
	l.rearWindow.spread = breathing(l.rearWindow.length(), 280, 0.25)
}

// layPillar lays the windscreen's flange, and the stretches of it and of the door's where the pillar stiffener lies
// between the two skins: there they stand its thickness apart, and they come together again beyond its ends.
func (l *lines) layPillar() {
	l.screen = &seam{
		course: newCourse(func(z float64) r3.Vector {
			x := screenX(z)
			return r3.Vector{X: x, Y: sideY(x-20, z) - boxDepth - pillarStand, Z: z}
		}, 800, 1427, false),
		normal: constant(1, 0, 0.11),
		across: constant(0, -1, 0),
		half:   flangeHalf,
	}
	height := func(p r3.Vector) float64 { return p.Z }
	l.screenStiff = [2]float64{l.screen.where(0, 500, 890, height), l.screen.where(0, 500, 1240, height)}
	l.screen.spread = func(s float64) float64 { return joggle(s, l.screenStiff) * stiffenerSheet }

	waist := l.door.where(0, l.door.length()/2, 700, height) // on the front edge
	l.doorStiff = [2]float64{l.door.where(waist, waist+500, 885, height), l.door.where(waist, waist+600, 1235, height)}
	air := breathing(l.door.length(), 600, 0.2)
	l.door.spread = func(s float64) float64 {
		s = math.Mod(s, l.door.length())
		return air(s) + joggle(s, l.doorStiff)*stiffenerSheet
	}
}

// screenX and rearWindowX are the raked lines of the window pillars.
func screenX(z float64) float64     { return 1345 - 0.11*(z-815) }
func rearWindowX(z float64) float64 { return 58 + 0.1*(z-835) }

// joggle is 1 between two places and falls to 0 over the length in which the skins come together.
func joggle(s float64, between [2]float64) float64 {
	const length, lead = 28.0, 1.0
	return swage.Ramp((s-between[0]+lead+length)/length) * swage.Ramp((between[1]+lead+length-s)/length)
}

// frontSlope and rearSlope are how fast the front and the rear fall away at their edges. The flanges there flare
// out by as much, so that a tip on their inside stands along the panel and not into it.
const frontSlope, rearSlope = 0.111, 0.104

// layFront lays the lines of the front end.
func (l *lines) layFront() {
	const halfSheets = outerSheet / 2
	l.frontSide = &seam{
		course: newCourse(func(z float64) r3.Vector {
			return sideInside(frontX(540, z)+pinchStand, z, halfSheets)
		}, 172, 642, false),
		normal: constant(-frontSlope, 1, 0),
		across: constant(1, 0, 0),
		half:   flangeHalf,
	}
	l.frontSide.spread = breathing(l.frontSide.length(), 240, 0.2)
	l.scuttleEnd = &seam{
		course: newCourse(func(p float64) r3.Vector {
			q := scuttle(p, 535).Add(scuttleNormal.Mul(pinchStand))
			return sideInside(q.X, q.Z, halfSheets)
		}, 10, 112, false),
		normal: constant(-frontSlope, 1, 0),
		across: func(r3.Vector) r3.Vector { return scuttleNormal },
		half:   flangeHalf,
	}
	sweep := func(radius, halfWidth, x, z float64) *course { // an arc round the front, from right to left
		return newCourse(func(phi float64) r3.Vector {
			sin, cos := math.Sincos(phi)
			return r3.Vector{X: x - frontRound + radius*cos, Y: radius * sin, Z: z}
		}, -halfWidth/radius, halfWidth/radius, false)
	}
	l.scuttleFront = &seam{
		course: sweep(frontRound+pinchStand, 505, frontNose-frontLean(scuttleFoot-pinchStand), scuttleFoot),
		normal: constant(0, 0, 1), across: constant(1, 0, 0), half: flangeHalf,
	}
	l.layFrontFoot()
	l.layLamp()
}

// layLamp lays the ring of the left lamp, flat and sunk into the front panel.
func (l *lines) layLamp() {
	const lampY, lampZ, lampRadius, recess = 352, 452, 91, 11
	axis := frontNormal(lampY, lampZ)
	side := r3.Vector{Y: 1}.Sub(axis.Mul(axis.Y)).Normalize()
	up := axis.Cross(side)
	middle := r3.Vector{X: frontX(lampY, lampZ), Y: lampY, Z: lampZ}.Sub(axis.Mul(recess))
	l.lamp = &seam{
		course: newCourse(func(phi float64) r3.Vector {
			sin, cos := math.Sincos(phi)
			return middle.Add(side.Mul(lampRadius * cos)).Add(up.Mul(lampRadius * sin))
		}, 0, 2*math.Pi, true),
		normal: func(r3.Vector) r3.Vector { return axis },
		across: func(p r3.Vector) r3.Vector { return p.Sub(middle) },
		half:   9,
	}
}

// layFrontFoot lays the front panel's foot on the floor. The floor is flat, so the air between the two lifts the
// panel alone, and the weld line by half of it.
func (l *lines) layFrontFoot() {
	const radius, halfAngle = frontRound + pinchStand, 470 / (frontRound + pinchStand)
	air := breathing(2*halfAngle, 2*halfAngle/3, 0.3)
	l.frontFoot = &seam{
		course: newCourse(func(phi float64) r3.Vector {
			sin, cos := math.Sincos(phi)
			return r3.Vector{X: frontNose - frontRound + radius*cos, Y: radius * sin, Z: floorTop + air(phi+halfAngle)/2}
		}, -halfAngle, halfAngle, false),
		normal: constant(0, 0, 1), across: constant(1, 0, 0), half: flangeHalf,
	}
	l.frontFoot.spread = func(s float64) float64 { return air(l.frontFoot.param(s) + halfAngle) }
}

// scuttleFoot is the height of the joint between front panel and scuttle.
const scuttleFoot = 680.0

// scuttleNormal stands on the sloping scuttle: 47 degrees from the level.
var scuttleNormal = r3.Vector{X: 0.731, Z: 0.682}

// scuttle is the sloping panel between front panel and windscreen: p runs up the slope.
func scuttle(p, y float64) r3.Vector {
	x := frontX(y, scuttleFoot-pinchStand)
	return r3.Vector{X: x + 13 - 0.682*p, Y: y, Z: scuttleFoot + 9 + 0.731*p}
}

// layRear lays the lines of the rear end.
func (l *lines) layRear() {
	l.rearSide = &seam{
		course: newCourse(func(z float64) r3.Vector {
			return sideInside(rearX(535)-pinchStand, z, outerSheet/2)
		}, 178, 768, false),
		normal: constant(rearSlope, 1, 0), across: constant(-1, 0, 0), half: flangeHalf,
	}
	l.rearFoot = &seam{
		course: newCourse(func(phi float64) r3.Vector {
			sin, cos := math.Sincos(phi)
			r := rearRound + pinchStand
			return r3.Vector{X: rearTail + rearRound - r*cos, Y: r * sin, Z: floorTop}
		}, -416/rearRound, 416/rearRound, false),
		normal: constant(0, 0, 1), across: constant(-1, 0, 0), half: flangeHalf,
	}
	onRear := func(z, up float64) *seam {
		m := &seam{
			course: newCourse(func(y float64) r3.Vector {
				p := r3.Vector{X: rearX(y), Y: y, Z: z}
				return p.Add(rearNormal(p).Mul(rearSheet / 2))
			}, -468, 468, false),
			normal: rearNormal, across: constant(0, 0, up), half: flangeHalf,
		}
		return m
	}
	l.railTop, l.railBottom = onRear(792, 1), onRear(700, -1)
	l.railTop.spread = breathing(l.railTop.length(), 450, 0.2)
}

// layArch lays the left wheel arch, which swings outward over the wheel.
func (l *lines) layArch() {
	l.arch = &seam{
		course: newCourse(func(t float64) r3.Vector {
			sin, cos := math.Sincos(t)
			x, z := archX+archRadius*cos, archZ+archRadius*sin
			return r3.Vector{X: x, Y: sideY(x, z) - 4 + 18*sin*sin + 9*cos, Z: z}
		}, 4*math.Pi/180, 176*math.Pi/180, false),
		normal: constant(0, 1, 0),
		across: towards(archX, 550, archZ),
		half:   flangeHalf,
	}
	l.arch.spread = breathing(l.arch.length(), 400, 0.15)
}

// rearNormal points from the rear panel into the cab.
func rearNormal(p r3.Vector) r3.Vector {
	return r3.Vector{X: math.Sqrt(rearRound*rearRound - p.Y*p.Y), Y: -p.Y}.Normalize()
}

// The sills run in a little towards the front.
const sillFrom, sillTo = 790.0, 1300.0

func sillY(x float64) float64 { return 482 - 19*(x-sillFrom)/(sillTo-sillFrom) }

// layFloor lays the lines on the floor.
func (l *lines) layFloor() {
	lengthways := func(from, to, z, outward float64, y func(x float64) float64) *seam {
		return &seam{
			course: newCourse(func(x float64) r3.Vector { return r3.Vector{X: x, Y: y(x), Z: z} }, from, to, false),
			normal: constant(0, 0, 1), across: constant(0, outward, 0), half: floorHalf,
		}
	}
	l.wheelFoot = lengthways(165, 605, floorTop, 1, func(float64) float64 { return 432 })
	l.wheelFoot.half = flangeHalf
	l.sillOuter = lengthways(sillFrom, sillTo, floorHeight, 1, sillY)
	l.sillOuter.spread = func(float64) float64 { return floorSheet }
	l.sillInner = lengthways(sillFrom, sillTo, floorUnder, -1, func(x float64) float64 { return sillY(x) - 85 })
	for i, pair := range [3][2]float64{{1328, 1410}, {688, 770}, {46, 128}} {
		wide := 478.0
		if i == 2 {
			wide = 404 // between the wheelhouses
		}
		for k, x := range pair {
			l.cross[i][k] = &seam{
				course: newCourse(func(y float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: floorUnder} }, -wide, wide, false),
				normal: constant(0, 0, 1), across: constant(float64(2*k-1), 0, 0), half: floorHalf,
			}
		}
	}
}
