package layout

import (
	"reflect"

	"seamwright/geometry/flange"
	"seamwright/seams/rule"
)

// WeldStep is when a weld is made.
type WeldStep string

// The steps of welds.
const (
	Tack     WeldStep = "tack"
	Fill     WeldStep = "fill"
	Released WeldStep = "released" // once a clamp is off
)

// HoldKind is what a hold point holds against what.
type HoldKind string

// The kinds of hold points.
const (
	Gauge     HoldKind = "gauge"
	Dimension HoldKind = "dimension"
	Symmetry  HoldKind = "symmetry"
)

// StepKind is the kind of work of a line of a station's order of work.
type StepKind string

// The kinds of steps.
const (
	DoLoad    StepKind = "load"
	DoPeg     StepKind = "peg"
	DoClamp   StepKind = "clamp"
	DoGauge   StepKind = "gauge"
	DoTack    StepKind = "tack"
	DoRelease StepKind = "release"
	DoFill    StepKind = "fill"
	DoRoll    StepKind = "roll"
	DoInspect StepKind = "inspect"
	DoLiftOut StepKind = "lift out"
	DoProve   StepKind = "prove"    // settings, on test coupons
	DoMark    StepKind = "mark out" // weld lines
	DoFit     StepKind = "fit"      // flanges together, with hand clamps
	DoDress   StepKind = "dress"    // tips, when due
	DoWork    StepKind = "work"     // besides welding
)

// TackRule is how the tacks of a run are gone through.
type TackRule string

// The rules of tacks. Common practice, no source: what is held in the middle, or on opposite sides, pulls the rest in place evenly.
const (
	TackQuarters TackRule = "quarters"     // opposite quarters of a closed line by turns
	TackMiddle   TackRule = "middle-first" // from the middle outwards
	TackDatum    TackRule = "datum-first"  // from the end at the nearest dowel on
	TackThrough  TackRule = "through"      // from end to end
)

// Said is the rule in words, as it is for so many tacks; empty where they go from end to end.
func (r TackRule) Said(tacks int) string {
	switch {
	case r == TackQuarters && tacks >= 4:
		return "rings in opposite quarters by turns"
	case r == TackMiddle && tacks >= 3:
		return "lines from the middle outwards"
	case r == TackDatum && tacks >= 2:
		return "lines from the dowel on"
	}
	return ""
}

// MeasureKind is a size of a gun or tip.
type MeasureKind string

// The sizes that decide whether a gun reaches.
const (
	ThroatDepth MeasureKind = "throat depth"
	ThroatGap   MeasureKind = "throat gap"
	ArmDiameter MeasureKind = "arm"
	TipLength   MeasureKind = "tip length"
	TipWidth    MeasureKind = "tip width"
)

// JointKind is how a joint is welded.
type JointKind string

// The kinds of joints.
const (
	SpotJoint       JointKind = "spot"
	RollerJoint     JointKind = "roller"
	SpotRollerJoint JointKind = "spot+roller" // spots, and then a roller seam
)

// SettingKind is what a setting sets.
type SettingKind string

// The kinds of settings.
const (
	SpotSetting   SettingKind = "spot"
	RollerSetting SettingKind = "roller"
)

// Release is when a clamp is opened.
type Release string

// The ways to open a clamp.
const (
	AfterTacks Release = "tacks" // once its joints are tacked
	AtEnd      Release = "end"   // it stays shut
)

// Edge is what ends a strip on one side.
type Edge = flange.Edge

// The kinds of edges.
const (
	FreeEdge    = flange.FreeEdge
	Bend        = flange.Bend
	GapOpens    = flange.GapOpens
	StackEnds   = flange.StackEnds
	UnknownEdge = flange.UnknownEnd
)

// Severity is how bad a finding is.
type Severity = rule.Severity

// The severities of findings.
const (
	Broken          = rule.Broken // exit code 3
	Waived Severity = "waived"    // broken or in doubt, and let stand on somebody's word: Name and Reason
	Doubt           = rule.Doubt
	Note            = rule.Note
)

// Severities lists the severities, worst first.
func Severities() []Severity { return []Severity{Broken, Waived, Doubt, Note} }

// Origin is who set a limit.
type Origin = rule.Origin

// Those who set limits.
const (
	FromDefault = rule.FromDefault
	FromWorks   = rule.FromWorks
	FromShell   = rule.FromShell
)

// Supply is a kind of welding current.
type Supply string

// The kinds of supply.
const (
	AC   Supply = "ac"   // single-phase, mains frequency
	MFDC Supply = "mfdc" // medium-frequency inverter, direct current
)

// Words lists what a type of a few words may be; nil: it is none of these.
func Words(t reflect.Type) []string {
	return map[reflect.Type][]string{
		reflect.TypeFor[WeldStep]():    list(Tack, Fill, Released),
		reflect.TypeFor[HoldKind]():    list(Gauge, Dimension, Symmetry),
		reflect.TypeFor[MeasureKind](): list(ThroatDepth, ThroatGap, ArmDiameter, TipLength, TipWidth),
		reflect.TypeFor[TackRule]():    list("", TackQuarters, TackMiddle, TackDatum, TackThrough),
		reflect.TypeFor[StepKind](): list(DoLoad, DoPeg, DoClamp, DoGauge, DoTack, DoRelease, DoFill, DoRoll, DoInspect, DoLiftOut,
			DoProve, DoMark, DoFit, DoDress, DoWork),
		reflect.TypeFor[JointKind]():   list(SpotJoint, RollerJoint, SpotRollerJoint),
		reflect.TypeFor[SettingKind](): list(SpotSetting, RollerSetting),
		reflect.TypeFor[Release]():     list(AfterTacks, AtEnd),
		reflect.TypeFor[Edge]():        list(UnknownEdge, FreeEdge, Bend, GapOpens, StackEnds),
		reflect.TypeFor[Severity]():    list(Severities()...),
		reflect.TypeFor[Supply]():      list(AC, MFDC),
		reflect.TypeFor[Origin]():      list(FromDefault, FromWorks, FromShell),
		reflect.TypeFor[Status]():      list("", Draft, Approved, Demonstration),
		reflect.TypeFor[LabourKind]():  list(labourKinds()...),
	}[t]
}

func list[T ~string](all ...T) []string {
	out := make([]string, len(all))
	for i, w := range all {
		out[i] = string(w)
	}
	return out
}

// LabourKind is what a line of labour or money is for.
type LabourKind string

// The kinds of work.
const (
	WorkLoad          LabourKind = "load"
	WorkCarry         LabourKind = "carry"
	WorkPeg           LabourKind = "peg"
	WorkClamp         LabourKind = "clamp"
	WorkGauge         LabourKind = "gauge"
	WorkRelease       LabourKind = "release"
	WorkLiftOut       LabourKind = "lift out"
	WorkTakeTool      LabourKind = "take tool" // a gun or roller
	WorkChangeTip     LabourKind = "change tip"
	WorkChangeSetting LabourKind = "change setting"
	WorkCoupon        LabourKind = "coupon" // welded for test
	WorkFit           LabourKind = "fit"    // flanges together
	WorkMark          LabourKind = "mark out"
	WorkPosition      LabourKind = "position"
	WorkMove          LabourKind = "move"
	WorkOpen          LabourKind = "open"
	WorkStartRun      LabourKind = "start run"
	WorkPosture       LabourKind = "change posture"
	WorkSqueeze       LabourKind = "squeeze"
	WorkWeld          LabourKind = "weld"
	WorkHold          LabourKind = "hold"
	WorkAgain         LabourKind = "weld again"
	WorkInspect       LabourKind = "inspect"
	WorkDressTip      LabourKind = "dress tip"
	WorkChangeCaps    LabourKind = "change caps"
	WorkStartSeam     LabourKind = "start seam"
	WorkRoll          LabourKind = "roll"
	WorkDressWheel    LabourKind = "dress wheel"
	WorkChangeWheel   LabourKind = "change wheel"
	WorkOther         LabourKind = "other work" // besides welding
	WorkPractice      LabourKind = "practice"   // laid on other work
	WorkAllowances    LabourKind = "allowances" // laid on other work
)

// The kinds of money.
const (
	PaidLabour      LabourKind = "labour"
	PaidOverhead    LabourKind = "overhead" // on the line before it
	PaidPreparation LabourKind = "jig preparation"
	PaidChangeover  LabourKind = "changeover"
	PaidCaps        LabourKind = "caps"
	PaidWheels      LabourKind = "wheels"
	PaidEnergy      LabourKind = "energy"
	PaidWater       LabourKind = "water"
	PaidCoupons     LabourKind = "coupon sheet"
)

func labourKinds() []LabourKind {
	return []LabourKind{WorkLoad, WorkCarry, WorkPeg, WorkClamp, WorkGauge, WorkRelease, WorkLiftOut, WorkTakeTool, WorkChangeTip,
		WorkChangeSetting, WorkCoupon,
		WorkFit, WorkMark, WorkPosition, WorkMove, WorkOpen, WorkStartRun, WorkPosture, WorkSqueeze, WorkWeld, WorkHold, WorkAgain, WorkInspect,
		WorkDressTip, WorkChangeCaps, WorkStartSeam, WorkRoll, WorkDressWheel, WorkChangeWheel,
		WorkOther, WorkPractice, WorkAllowances, PaidLabour,
		PaidOverhead, PaidPreparation, PaidChangeover, PaidCaps, PaidWheels, PaidEnergy, PaidWater, PaidCoupons}
}

// Tools are what a line of labour or money is about; empty: not about one.
type Tools struct{ Gun, Roller, Tip, Setting string }
