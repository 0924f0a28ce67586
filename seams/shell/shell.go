// Package shell is what the works says about one body shell: its panels, jigs, guns and rates, with every key of the shell file.
// seams/shellfile reads it, seams/draft writes a first one.
//
//	gun, ok := sh.Gun("deep")
//	for _, k := range shell.Keys() {
//		fmt.Println(k.Name, k.Unit, k.MayBe(), k.Meaning)
//	}
//
// Lengths are millimetres, forces newtons, times seconds or minutes as the key says, angles degrees. Keys lists
// every key with its unit, bounds, default and the default's source.
package shell

import "seamwright/geometry/drawing"

// Shell is a whole shell file. Keys in files are the mapstructure names.
type Shell struct {
	Name     string  `mapstructure:"name"`
	Number   string  `mapstructure:"number"`   // identification number of the map set (ISO 7200)
	Revision string  `mapstructure:"revision"` // letter or number
	Batch    int     `mapstructure:"batch"`    // shells in one batch; default 1
	People   int     `mapstructure:"people"`   // at work at once on all jigs together; 0: each jig has its own crew
	Shifts   int     `mapstructure:"shifts"`   // a day; default 1
	Owner    string  `mapstructure:"owner"`    // legal owner in the title block (ISO 7200)
	Creator  string  `mapstructure:"creator"`
	Approver string  `mapstructure:"approver"`
	Status   string  `mapstructure:"status"`       // draft (default), approved or demonstration
	Issued   string  `mapstructure:"issued"`       // date of issue as text; never filled in by the program
	Unit     string  `mapstructure:"unit"`         // unit of mesh and outline files unless a panel says otherwise
	GapLimit float64 `mapstructure:"gap_limit_mm"` // fit-up; 0: the rule book's

	Steels        []Steel       `mapstructure:"steels"`
	Panels        []Panel       `mapstructure:"panels"`
	Subassemblies []Subassembly `mapstructure:"subassemblies"`
	Stations      []Station     `mapstructure:"stations"`
	Joints        []Joint       `mapstructure:"joints"`
	Guns          []Gun         `mapstructure:"guns"`
	Tips          []Tip         `mapstructure:"tips"`
	Rollers       []Roller      `mapstructure:"rollers"`
	Supply        Supply        `mapstructure:"supply"`
	Rules         Rules         `mapstructure:"rules"`
	Rates         Rates         `mapstructure:"rates"`
	Allowances    Allowances    `mapstructure:"allowances"`
	Elements      Elements      `mapstructure:"elements"`
	Spreads       []Spread      `mapstructure:"spreads"`
	Material      []Material    `mapstructure:"material"`
	Offer         Offer         `mapstructure:"offer"`
	Waivers       []Waiver      `mapstructure:"waivers"`
	Survey        Survey        `mapstructure:"survey"`

	Dir  string `mapstructure:"-"` // folder of the file; paths in the file start there
	File string `mapstructure:"-"` // name of the file in Dir; empty when the shell does not come from a file

	Most     drawing.Limits `mapstructure:"-"` // of the drawings that the file names
	MostBook int64          `mapstructure:"-"` // bytes of the rule book that it names; 0: rule.DefaultBytes

	taken *taken // of the files that have been read; nil when the shell does not come from a file
}

// Steel is one sheet material.
type Steel struct {
	ID        string  `mapstructure:"id"`
	Grade     string  `mapstructure:"grade"` // DC04, DX54D+Z …
	Thickness float64 `mapstructure:"thickness_mm"`
	Coating   string  `mapstructure:"coating"`     // none, or an EN 10346 designation such as Z100
	Tensile   float64 `mapstructure:"tensile_mpa"` // 0: the grade's least value
	Yield     float64 `mapstructure:"yield_mpa"`   // 0: the grade's design value
}

// Panel is one pressed part: a mesh, or a flat blank drawn as an outline.
type Panel struct {
	ID      string  `mapstructure:"id"`
	Name    string  `mapstructure:"name"`
	Mesh    string  `mapstructure:"mesh"`    // STL file
	Outline string  `mapstructure:"outline"` // DXF or CSV file of a flat blank
	Unit    string  `mapstructure:"unit"`
	Steel   string  `mapstructure:"steel"`
	Surface string  `mapstructure:"surface"` // mid (default), skin or solid
	Skin    string  `mapstructure:"skin"`    // outer or faying, of a skin; left out: found
	Mass    float64 `mapstructure:"mass_kg"` // 0: area x thickness x 7850 kg/m³
	Place   Place   `mapstructure:"place"`
	Layers  []Layer `mapstructure:"layers"` // roles of an outline's layers
}

// Place moves a panel from its file's frame into the shell's.
type Place struct {
	Mirror bool       `mapstructure:"mirror_y"`
	Turn   [3]float64 `mapstructure:"turn_deg"` // about x, then y, then z
	Move   [3]float64 `mapstructure:"move_mm"`
}

// Layer gives a layer of a drawing its role: outline, weld-line, hole, keep-out or ignore.
type Layer struct {
	Layer string `mapstructure:"layer"`
	Role  string `mapstructure:"role"`
}

// Subassembly is a welded group of panels and other sub-assemblies; together they form a tree.
type Subassembly struct {
	ID    string   `mapstructure:"id"`
	Name  string   `mapstructure:"name"`
	Parts []string `mapstructure:"parts"` // panel and sub-assembly ids
}

// Station is a work place with one jig.
type Station struct {
	ID      string   `mapstructure:"id"`
	Name    string   `mapstructure:"name"`
	Jig     string   `mapstructure:"jig"`
	Crew    int      `mapstructure:"crew"`    // people at work at once; default 1
	Makes   string   `mapstructure:"makes"`   // the sub-assembly that leaves the station
	Arrives []string `mapstructure:"arrives"` // panel and sub-assembly ids in loading order
	Guns    []AtHand `mapstructure:"guns"`    // guns at hand; empty: one of each
	Rollers []string `mapstructure:"rollers"`
	Prepare float64  `mapstructure:"prepare_min"`    // jig preparation for a batch
	Change  float64  `mapstructure:"changeover_min"` // turning the station over from another model; the line stands meanwhile

	ClampsOpen string `mapstructure:"clamps_open"` // together (default), or one-by-one

	Clamps     []Clamp     `mapstructure:"clamps"`
	Dowels     []Dowel     `mapstructure:"dowels"`
	HoldPoints []HoldPoint `mapstructure:"hold_points"`
	Work       []Work      `mapstructure:"work"` // besides welding
}

// Work is what is done at a station and is not welding: priming, sealing, fitting a door.
type Work struct {
	ID     string  `mapstructure:"id"`
	Name   string  `mapstructure:"name"`
	Before IDList  `mapstructure:"before"` // joints, parts, hold points, other work, tacks
	After  IDList  `mapstructure:"after"`
	Crew   int     `mapstructure:"crew"` // people who do it together
	Time   float64 `mapstructure:"time_min"`
	Source string  `mapstructure:"source"`
}

// AtHand is a gun at a station, and how many there are. In a file a bare id stands for one.
type AtHand struct {
	ID    string `mapstructure:"id"`
	Count int    `mapstructure:"count"`
}

// Clamp holds sheets in the jig and keeps welds off while it is closed.
type Clamp struct {
	ID     string     `mapstructure:"id"`
	At     [3]float64 `mapstructure:"at_mm"`
	Radius float64    `mapstructure:"radius_mm"`
	// "tacks" (default): opened once its joints are tacked, so that welds under it follow; "end": stays shut
	Release string `mapstructure:"release"`
}

// Dowel is a peg through both sheets; no weld may touch it.
type Dowel struct {
	ID     string     `mapstructure:"id"`
	At     [3]float64 `mapstructure:"at_mm"`
	Radius float64    `mapstructure:"radius_mm"`
}

// IDList is a list of ids. In a file one bare id stands for a list of it.
type IDList []string

// The kinds of hold points.
const (
	Gauge     = "gauge"
	Dimension = "dimension"
	Symmetry  = "symmetry" // two dimensions within a tolerance of each other
)

// OneByOne is the word for clamps that open one after the other.
const OneByOne = "one-by-one"

// Tacks stands for a station's tacks among ids.
const Tacks = "tacks"

// HoldPoint is a gauge or dimension that must be right before the next weld.
type HoldPoint struct {
	ID        string     `mapstructure:"id"`
	Text      string     `mapstructure:"text"`
	Before    IDList     `mapstructure:"before"` // joints, sub-assemblies, panels or tacks; none: found from its ends
	Kind      string     `mapstructure:"kind"`   // gauge, dimension or symmetry; left out: as its ends and value say
	With      string     `mapstructure:"with"`   // of a symmetry: the hold point that it is compared with
	Value     float64    `mapstructure:"value_mm"`
	Tolerance float64    `mapstructure:"tolerance_mm"`
	At        [3]float64 `mapstructure:"at_mm"`
	To        [3]float64 `mapstructure:"to_mm"` // the dimension's other end; equal to At for a gauge at one place
}

// Joint is two or more panels to be welded together. A shell file without joints has them found.
type Joint struct {
	ID       string    `mapstructure:"id"`
	Name     string    `mapstructure:"name"`
	Panels   []string  `mapstructure:"panels"`
	Kind     string    `mapstructure:"kind"` // spot (default), roller, or spot+roller: tacked by spots, then rolled
	Station  string    `mapstructure:"station"`
	Pitch    float64   `mapstructure:"pitch_mm"` // wanted greatest pitch; 0: the rule's
	Count    int       `mapstructure:"count"`    // wanted welds on the whole joint; 0: as pitch and load ask
	Load     Load      `mapstructure:"load"`
	KeepOuts []KeepOut `mapstructure:"keep_outs"`
	WeldLine WeldLine  `mapstructure:"weld_line"` // drawn instead of found
	Near     []float64 `mapstructure:"near_mm"`   // x, y, z, radius: only flanges that pass this place belong to the joint
	Tack     float64   `mapstructure:"tack_every_mm"`
	Fill     string    `mapstructure:"fill"`       // how the welds between tacks are gone through: middle-out (default), skips or through
	Tacks    string    `mapstructure:"tack_order"` // how its tacks are gone through; empty: quarters on rings, middle-first on lines

	Forces      []Force `mapstructure:"forces"`          // loads at places, shared over the joint's welds as a group
	Compression float64 `mapstructure:"compression_mpa"` // stress along the row that the sheet between welds must carry
	Sealed      bool    `mapstructure:"sealed"`          // sealant lies between the sheets: the pitch is kept small
	// of welds: 0: a second where one cannot hold the count or the load; 1: one; 2: two wherever there is room
	Rows   int     `mapstructure:"rows"`
	EdgeOf string  `mapstructure:"edge_of"` // panel whose free edge the weld line is measured from
	Edge   float64 `mapstructure:"edge_mm"` // from that edge to the weld line; 0: the line runs in the middle
	// greatest distance between the rows that weld a broad contact; 0: it is not welded in rows
	RowPitch float64 `mapstructure:"row_pitch_mm"`
	// between two rows, across the flange; 0: as the load needs
	RowDistance float64    `mapstructure:"row_distance_mm"`
	Welds       []HandWeld `mapstructure:"welds"` // single welds set by hand
	// id of the joint on the other side of the shell whose welds this one takes over; empty: laid by itself
	MirrorOf string `mapstructure:"mirror_of"`
	// what its spots are welded with, of what is at hand at its station; empty: what reaches best
	Gun string `mapstructure:"gun"`
	Tip string `mapstructure:"tip"`
	// published table that their settings start from; empty: that of the rules
	Settings string `mapstructure:"setting_table"`
	// air, and angle in degrees, up to which clamps draw the sheets together; 0: the finder's
	ClampGap   float64 `mapstructure:"clamp_gap_mm"`
	ClampAngle float64 `mapstructure:"clamp_angle_deg"`
}

// Force is one design load on a joint that acts at a place: a force, a moment, or both, in the shell's frame. Several
// of them act together.
type Force struct {
	At     [3]float64 `mapstructure:"at_mm"`
	Force  [3]float64 `mapstructure:"force_n"`
	Moment [3]float64 `mapstructure:"moment_nm"` // N·m
	On     string     `mapstructure:"on"`        // panel that it acts on, so that pull and push are told apart; empty: both count as pull
}

// Load is the design force that the joint carries, spread evenly over its welds.
type Load struct {
	Shear   float64 `mapstructure:"shear_n"` // in the plane of the sheets, over the whole joint
	Flow    float64 `mapstructure:"flow_n_per_mm"`
	Tension float64 `mapstructure:"tension_n"` // pulling the sheets apart, over the whole joint

	// of shear and flow: along the row of welds, across it, or empty: either, so that both are judged
	Direction string `mapstructure:"direction"`
}

// The directions of a load.
const (
	Along  = "along"
	Across = "across"
)

// HandWeld is a single weld of a joint that is set by hand. It names its weld by the place along the flange, so that it
// holds when the joint is laid out anew.
type HandWeld struct {
	ID     string  `mapstructure:"id"`
	Flange string  `mapstructure:"flange"` // may be left out where the joint has one
	Along  float64 `mapstructure:"along_mm"`
	Do     string  `mapstructure:"do"` // pin, move, add or leave-out
	To     float64 `mapstructure:"to_mm"`
}

// KeepOut is a ball that no weld may be in.
type KeepOut struct {
	At     [3]float64 `mapstructure:"at_mm"`
	Radius float64    `mapstructure:"radius_mm"`
	Why    string     `mapstructure:"why"`
}

// WeldLine takes a weld line from a drawing: open polylines are weld lines of the given width, closed
// ones are outlines of the strip.
type WeldLine struct {
	File  string  `mapstructure:"file"`
	Layer string  `mapstructure:"layer"`
	Unit  string  `mapstructure:"unit"`
	Width float64 `mapstructure:"width_mm"`
	Place Place   `mapstructure:"place"`
}

// Gun is a hand-held spot gun. A C-shaped gun's arms reach round the sheets' edge.
type Gun struct {
	ID          string   `mapstructure:"id"`
	Letter      string   `mapstructure:"letter"` // one or two letters for maps
	Name        string   `mapstructure:"name"`
	ThroatDepth float64  `mapstructure:"throat_depth_mm"`
	ThroatGap   float64  `mapstructure:"throat_gap_mm"`
	Arm         float64  `mapstructure:"arm_mm"`    // diameter of the arms
	Stroke      float64  `mapstructure:"stroke_mm"` // opening between tips
	Force       float64  `mapstructure:"force_n"`   // greatest electrode force; 0: not stated
	Power       float64  `mapstructure:"power_kva"` // at 50 % duty
	Current     float64  `mapstructure:"current_a"` // greatest short-circuit current; 0: not stated
	Voltage     float64  `mapstructure:"voltage_v"` // at the open tips, of the highest tap; 0: not stated
	Mass        float64  `mapstructure:"mass_kg"`
	Tips        []string `mapstructure:"tips"`
}

// Tip is an electrode or cap pair.
type Tip struct {
	ID        string  `mapstructure:"id"`
	Name      string  `mapstructure:"name"`
	Shape     string  `mapstructure:"shape"` // domed, flat, truncated or narrow-flat
	Face      float64 `mapstructure:"face_mm"`
	Shank     float64 `mapstructure:"shank_mm"`      // diameter across the flange
	ShankLong float64 `mapstructure:"shank_long_mm"` // extent along the flange when the shank is not round; 0: as shank_mm
	Length    float64 `mapstructure:"length_mm"`     // from face to where the arm's diameter begins
	Dress     int     `mapstructure:"dress_every"`   // welds between dressings
	Dressings int     `mapstructure:"dressings"`     // dressings that a cap lasts
	Price     float64 `mapstructure:"price"`         // of one pair
}

// Roller is a pair of roller electrodes.
type Roller struct {
	ID          string  `mapstructure:"id"`
	Letter      string  `mapstructure:"letter"`
	Name        string  `mapstructure:"name"`
	Wheel       float64 `mapstructure:"wheel_width_mm"`
	Diameter    float64 `mapstructure:"wheel_diameter_mm"`
	LeastRadius float64 `mapstructure:"least_radius_mm"` // of the path
	Speed       float64 `mapstructure:"speed_m_per_min"` // 0: the setting table's
	Dress       float64 `mapstructure:"dress_every_m"`
	Wheels      float64 `mapstructure:"wheel_life_m"`
	Price       float64 `mapstructure:"price"`     // of one pair of wheels
	Power       float64 `mapstructure:"power_kva"` // at 50 % duty
	Current     float64 `mapstructure:"current_a"` // greatest short-circuit current; 0: not stated
	Voltage     float64 `mapstructure:"voltage_v"` // at the open wheels, of the highest tap; 0: not stated
}

// Supply is the electricity at the guns.
type Supply struct {
	Frequency float64 `mapstructure:"frequency_hz"` // 50 (default) or 60
	Kind      string  `mapstructure:"kind"`         // ac (default) or mfdc: medium-frequency direct current
}

// Rules change the rule book for this shell. Zero leaves a rule as the book has it.
type Rules struct {
	LeastPitch    float64 `mapstructure:"least_pitch_mm"`
	GreatestPitch float64 `mapstructure:"greatest_pitch_mm"`
	EdgeDistance  float64 `mapstructure:"edge_distance_mm"`
	EndDistance   float64 `mapstructure:"end_distance_mm"`
	BendClearance float64 `mapstructure:"bend_clearance_mm"`
	TackEvery     float64 `mapstructure:"tack_every_mm"`
	WeldTolerance float64 `mapstructure:"weld_tolerance_mm"` // how far a weld may be off its place

	Book          string  `mapstructure:"book"`           // the works' own rule book, beside the shell file
	Use           []Use   `mapstructure:"use"`            // sources of the book to go by instead of its own choice
	Settings      string  `mapstructure:"setting_table"`  // spot settings start from it
	Strength      string  `mapstructure:"strength"`       // rule that a weld's shear resistance follows
	TensionFactor float64 `mapstructure:"tension_factor"` // partial factor on a weld's tension
}

// Use names the source that a rule of the book goes by.
type Use struct {
	Rule   string `mapstructure:"rule"`
	Source string `mapstructure:"source"`
}

// Waiver lets a broken rule stand, on somebody's word. It is printed with every finding that it covers.
type Waiver struct {
	Rule string `mapstructure:"rule"`
	// id of a joint, flange, station, seam, setting or panel, or a weld as station:number; empty: everywhere
	Where  string `mapstructure:"where"`
	Reason string `mapstructure:"reason"`
	Name   string `mapstructure:"name"` // of whoever answers for it
}

// Survey names welds measured on an original part: joints with a point in it are welded at these points.
type Survey struct {
	File string `mapstructure:"file"` // CSV in the shell's frame
}

// Rates are money and overheads.
type Rates struct {
	Currency string  `mapstructure:"currency"`        // ISO 4217 code
	Labour   float64 `mapstructure:"labour_per_hour"` // money for one person
	JigWork  float64 `mapstructure:"jig_per_hour"`    // 0: as labour
	JigBase  float64 `mapstructure:"jig_base_h"`      // hours to make a jig: its frame
	JigFix   float64 `mapstructure:"jig_fixture_h"`   // and for each clamp and dowel
	JigMove  float64 `mapstructure:"jig_move_min"`    // man-minutes to roll one on to the next station, or back
	Energy   float64 `mapstructure:"energy_per_kwh"`
	Overhead float64 `mapstructure:"overhead_pct"` // on labour

	Utilisation  float64 `mapstructure:"utilisation_pct"` // estimate: kW drawn while current flows, in per cent of a gun's kVA
	Coupon       float64 `mapstructure:"coupon_price"`    // sheet for one test coupon
	HoursPerWeek float64 `mapstructure:"hours_per_week"`  // worked at each jig, for shells a week
	Water        float64 `mapstructure:"water_per_m3"`    // cooling water that runs to waste; 0: it goes round, no line
	WaterFlow    float64 `mapstructure:"water_l_per_min"` // through a gun or roller in use
}

// Allowances are added to working time, each in per cent.
type Allowances struct {
	Personal    float64 `mapstructure:"personal_pct"`
	Fatigue     float64 `mapstructure:"fatigue_pct"`
	Posture     float64 `mapstructure:"posture_pct"`
	Contingency float64 `mapstructure:"contingency_pct"`
	Rework      float64 `mapstructure:"rework_pct"` // of welds made again
	Trim        float64 `mapstructure:"trim_mm"`    // of a blank on every side, to trim away
	Press       float64 `mapstructure:"press_mm"`   // of a blank on every side, for the blank holder of the press
	Learning    float64 `mapstructure:"learning"`   // rate per doubling, 1 = none; cumulative-average model (Wright 1936)

	ShellsBefore int `mapstructure:"shells_before"`  // made before this batch
	Plateau      int `mapstructure:"plateau_shells"` // from which practice shortens nothing more; 0: it always does
}

// Elements are the times of the pieces of work.
type Elements struct {
	LoadPanel    float64 `mapstructure:"load_panel_s"` // fetch one panel or sub-assembly and set it in the jig
	LoadPerKg    float64 `mapstructure:"load_per_kg_s"`
	Dowel        float64 `mapstructure:"dowel_s"`
	Clamp        float64 `mapstructure:"clamp_s"`
	Release      float64 `mapstructure:"release_s"`
	Gauge        float64 `mapstructure:"gauge_s"` // one hold point
	Squeeze      float64 `mapstructure:"squeeze_s"`
	Position     float64 `mapstructure:"position_s"` // aim the gun at one weld
	Open         float64 `mapstructure:"open_s"`     // let the tips open and draw the gun off one weld
	MoveSpeed    float64 `mapstructure:"move_mm_per_s"`
	TakeGun      float64 `mapstructure:"take_gun_s"`  // put one gun down and take another
	HandOver     float64 `mapstructure:"hand_over_s"` // give a gun to somebody else at the station
	TipChange    float64 `mapstructure:"tip_change_s"`
	SetChange    float64 `mapstructure:"setting_change_s"` // choose another setting on the same gun's timer
	Dressing     float64 `mapstructure:"dressing_s"`
	CapChange    float64 `mapstructure:"cap_change_s"`
	RollerStart  float64 `mapstructure:"roller_start_s"`
	WheelChange  float64 `mapstructure:"wheel_change_s"` // one pair of roller wheels
	LiftOut      float64 `mapstructure:"lift_out_s"`
	Inspect      float64 `mapstructure:"inspect_s"`     // one weld looked at
	InspectEvery int     `mapstructure:"inspect_every"` // one in so many welds is looked at
	Coupon       float64 `mapstructure:"coupon_s"`      // one peel or chisel test
	Coupons      float64 `mapstructure:"coupons"`       // test coupons for a shell, by station and gun
	Marking      float64 `mapstructure:"mark_s_per_m"`  // marking out a metre of weld line on one shell
	StartRun     float64 `mapstructure:"start_run_s"`   // at each run: grip the gun, find the line
	Posture      float64 `mapstructure:"posture_s"`     // at a run that asks for another posture
	Fit          float64 `mapstructure:"fit_s_per_m"`   // pull a metre of flange together with hand clamps and look for gaps
}

// Material is what a kilogram of one kind of sheet costs, in rates.currency.
type Material struct {
	Grade     string  `mapstructure:"grade"`
	Thickness float64 `mapstructure:"thickness_mm"`
	Coating   string  `mapstructure:"coating"` // as of the steel; left out: none
	PerKilo   float64 `mapstructure:"price_per_kg"`
}

// Offer is what a quote says beside minutes and money of the welding.
type Offer struct {
	Number      string  `mapstructure:"number"`
	Date        string  `mapstructure:"date"` // text; never filled in by the program
	Customer    string  `mapstructure:"customer"`
	Valid       int     `mapstructure:"valid_days"` // from its date
	Weeks       float64 `mapstructure:"delivery_weeks"`
	Margin      float64 `mapstructure:"margin_pct"`      // on all costs
	Subcontract float64 `mapstructure:"subcontract_pct"` // on what is subcontracted, before the margin
	Discount    float64 `mapstructure:"discount_pct"`    // of the price
	VAT         float64 `mapstructure:"vat_pct"`         // 0: prices are without
	Steel       string  `mapstructure:"steel"`           // who buys the sheet: works (default) or customer

	Lines  []OfferLine `mapstructure:"lines"`
	Breaks []Break     `mapstructure:"breaks"` // none: 1, 6, 12, 24 and 48 shells
	Terms  string      `mapstructure:"terms"`  // printed as it stands
}

// Who buys the sheet steel.
const (
	WorksBuys    = "works"
	CustomerBuys = "customer"
)

// The words of a line of an offer.
const (
	Own         = "works"
	Subcontract = "subcontract"
	PerShell    = "shell"
	PerBatch    = "batch"
)

// OfferLine is what is sold besides the welding and its steel.
type OfferLine struct {
	ID       string  `mapstructure:"id"`
	What     string  `mapstructure:"what"`
	By       string  `mapstructure:"by"`  // works (default) or subcontract
	Per      string  `mapstructure:"per"` // shell (default) or batch
	Quantity float64 `mapstructure:"quantity"`
	Price    float64 `mapstructure:"price"` // of one, what it costs the works
}

// Break is another quantity that is priced.
type Break struct {
	Shells   int     `mapstructure:"shells"`
	Discount float64 `mapstructure:"discount_pct"` // on top of the offer's
}

// Spread is how far the time of one element, or another figure of the estimate, may be off: one standard deviation
// in per cent of it. A quote's range comes from these.
type Spread struct {
	ID  string  `mapstructure:"id"` // key of the element without the table's name, or prepare_min, learning, rework_pct or common
	Pct float64 `mapstructure:"pct"`
}
