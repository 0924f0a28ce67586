// Package layout holds the plan: the one value that crosses from deciding to showing. It is plain data,
// written as plan.json; Schema describes it.
//
//	plan, err := planner.Build(ctx, input)
//	err = layout.Write(file, plan)
//
// Millimetres, newtons, seconds, degrees; money in the shell file's currency.
package layout

// Vec is a point or direction: x, y, z.
type Vec [3]float64

// Range is least, mean and greatest.
type Range struct {
	Least    float64 `json:"least"`
	Mean     float64 `json:"mean"`
	Greatest float64 `json:"greatest"`
}

// Plan is everything decided about one shell.
type Plan struct {
	Format        int           `json:"format"` // 1
	Shell         Shell         `json:"shell"`
	Panels        []Panel       `json:"panels"`
	Subassemblies []Subassembly `json:"subassemblies"`
	Stations      []Station     `json:"stations"` // in the order of work
	Joints        []Joint       `json:"joints"`
	Flanges       []Flange      `json:"flanges"`
	Runs          []Run         `json:"runs"`
	Welds         []Weld        `json:"welds"` // by station, then number
	Seams         []Seam        `json:"seams"` // roller seams, by station in the order in which they are rolled
	Guns          []Gun         `json:"guns"`
	Tips          []Tip         `json:"tips"`
	Settings      []Setting     `json:"settings"`
	Findings      []Finding     `json:"findings"`
	Labour        Labour        `json:"labour"`
	Cost          Cost          `json:"cost"`
	Flow          Flow          `json:"flow"`
	Notes         []string      `json:"notes"` // what was read, mended, skipped or assumed

	NearWelds []NearWelds `json:"near_welds,omitempty"` // welds whose distance along a sheet was measured
}

// Shell names what is built.
type Shell struct {
	Name     string `json:"name"`
	Number   string `json:"number"`
	Revision string `json:"revision"`
	Batch    int    `json:"batch"`
	Owner    string `json:"owner"`
	Creator  string `json:"creator"`
	Approver string `json:"approver"`
	Status   Status `json:"status"`
	Issued   string `json:"issued"`
	Input    string `json:"input"` // SHA-256 of the shell file and every file that it names
}

// Panel is one pressed part in its place.
type Panel struct {
	ID        string   `json:"id"`
	Name      string   `json:"name"`
	Steel     string   `json:"steel"`
	Grade     string   `json:"grade"`
	Thickness float64  `json:"thickness"`
	Coating   string   `json:"coating"`
	Surface   string   `json:"surface"`
	Triangles int      `json:"triangles"`
	Area      float64  `json:"area"` // mm² of one side
	Mass      float64  `json:"mass"` // kg
	Box       [2]Vec   `json:"box"`
	Station   string   `json:"station"` // where it arrives
	Warnings  []string `json:"warnings"`

	KeepOuts []Outline `json:"keep_outs,omitempty"` // drawn on its blank: no weld within them
}

// Outline is a drawn line; a closed one does not repeat its first point.
type Outline struct {
	Points []Vec `json:"points"`
	Closed bool  `json:"closed"`
}

// Subassembly is a node of the tree of sub-assemblies.
type Subassembly struct {
	ID    string   `json:"id"`
	Name  string   `json:"name"`
	Parts []string `json:"parts"`
}

// Station is one jig and what happens in it.
type Station struct {
	ID         string      `json:"id"`
	Name       string      `json:"name"`
	Jig        string      `json:"jig"`
	Crew       int         `json:"crew"`
	Makes      string      `json:"makes"`
	Arrives    []string    `json:"arrives"`
	Present    []string    `json:"present"` // panel ids in the jig, those within arriving sub-assemblies included
	Guns       []string    `json:"guns"`
	Clamps     []Fixture   `json:"clamps"`
	Dowels     []Fixture   `json:"dowels"`
	HoldPoints []HoldPoint `json:"hold_points"`
	Steps      []Step      `json:"steps"` // order of work, in words
	Welds      int         `json:"welds"`
	Minutes    float64     `json:"minutes"` // a shell, at the jig, with the whole crew
	Order      Order       `json:"order"`
}

// Order is what the order of a station's hold points, welds and roller seams costs in walking and changes.
type Order struct {
	Travel     float64 `json:"travel"` // mm walked and moved
	GunChanges int     `json:"gun_changes"`
	TipChanges int     `json:"tip_changes"` // on the same gun, back to its first tip for the next shell included
	Seconds    float64 `json:"seconds"`     // travel and changes
	Proven     bool    `json:"proven"`      // no order of the runs takes less
}

// Fixture is a clamp or dowel.
type Fixture struct {
	ID      string  `json:"id"`
	At      Vec     `json:"at"`
	Radius  float64 `json:"radius"`
	Release Release `json:"release,omitempty"`
}

// HoldPoint is a gauge or dimension that must be right before the next weld.
type HoldPoint struct {
	ID        string  `json:"id"`
	Text      string  `json:"text"`
	Before    string  `json:"before"` // joint id, or empty: before the first weld
	Value     float64 `json:"value"`
	Tolerance float64 `json:"tolerance"`
	At        Vec     `json:"at"`
	To        Vec     `json:"to"`
}

// Step is one line of the order of work: load, peg, clamp, gauge, tack, release, fill, roll, inspect or lift out.
type Step struct {
	Do   StepKind `json:"do"`
	Text string   `json:"text"`
	Runs []int    `json:"runs,omitempty"`
}

// Joint is panels to be welded together and what became of it.
type Joint struct {
	ID      string    `json:"id"`
	Name    string    `json:"name"`
	Panels  []string  `json:"panels"`
	Kind    JointKind `json:"kind"`  // spot, roller or spot+roller
	Found   bool      `json:"found"` // by the program rather than stated
	Station string    `json:"station"`
	Flanges []string  `json:"flanges"`
	Welds   int       `json:"welds"`
	Length  float64   `json:"length"`
	Shear   Strength  `json:"shear"`
	Tension Strength  `json:"tension"`
	Minutes float64   `json:"minutes"`
}

// Strength is what a joint carries against what it must, in N; Source says by which rule.
type Strength struct {
	Capacity    float64 `json:"capacity"`
	Demand      float64 `json:"demand"`
	Utilisation float64 `json:"utilisation"` // 0 when nothing is asked
	Source      string  `json:"source"`
}

// Flange is one strip where sheets lie on each other.
type Flange struct {
	ID      string      `json:"id"`
	Joint   string      `json:"joint"`  // empty: found, but in no joint
	Panels  []string    `json:"panels"` // in stack order along the normals
	Closed  bool        `json:"closed"`
	Patch   bool        `json:"patch"`
	Length  float64     `json:"length"`
	Width   Range       `json:"width"`
	Air     Range       `json:"air"`
	Area    float64     `json:"area"`
	Line    []LinePoint `json:"line"` // the weld line; a closed one does not repeat its first point
	Outline [][]Vec     `json:"outline"`
	Holes   []Hole      `json:"holes"` // openings in the strip, and notches that reach into it
}

// LinePoint is one place on a weld line.
type LinePoint struct {
	Along  float64 `json:"along"` // mm from the start of the line, as the finder measured it
	At     Vec     `json:"at"`
	Normal Vec     `json:"normal"`
	Left   float64 `json:"left"`  // mm along the sheet to the strip's side on the left of its way
	Right  float64 `json:"right"` // and on the right
	Air    float64 `json:"air"`   // mm between the sheets, all interfaces added
	Ends   [2]Edge `json:"ends"`  // what ends the strip on the left and on the right
}

// Side is what a strip's two sides are along a stretch of its weld line.
type Side struct {
	From, To    float64 // mm along the line
	Left, Right Edge
}

// Hole is an opening in a strip.
type Hole struct {
	At     Vec     `json:"at"`
	Radius float64 `json:"radius"`
}

// Run is a stretch of weld line welded with one gun, tip and setting without a break. Its welds are
// numbered From to To without a gap.
type Run struct {
	ID      int      `json:"id"`
	Station string   `json:"station"`
	Joint   string   `json:"joint"`
	Flange  string   `json:"flange"`
	From    int      `json:"from"`
	To      int      `json:"to"`
	Count   int      `json:"count"`
	Pitch   Range    `json:"pitch"` // between neighbours along the weld line, whatever was welded before; zeros for a single weld
	Gun     string   `json:"gun"`
	Tip     string   `json:"tip"`
	Setting string   `json:"setting"`
	Step    WeldStep `json:"step"` // tack, fill or released
	Minutes float64  `json:"minutes"`
}

// Weld is one spot.
type Weld struct {
	Number       int      `json:"number"` // in welding order within the station, from 1
	Station      string   `json:"station"`
	Joint        string   `json:"joint"`
	Flange       string   `json:"flange"`
	Run          int      `json:"run"`
	Position     Vec      `json:"position"`
	Axis         Vec      `json:"axis"`
	Along        float64  `json:"along"` // mm from the start of the flange's weld line
	Sheets       []string `json:"sheets"`
	WeldDiameter float64  `json:"weld_diameter"`
	Accepted     float64  `json:"accepted_diameter"` // mm, from which a peeled or chiselled weld is good; more where a load counts on it
	Gun          string   `json:"gun"`
	Tip          string   `json:"tip"`
	Turn         float64  `json:"turn"`      // degrees about the axis from the weld line to the gun's throat
	Tilt         float64  `json:"tilt"`      // degrees that the gun stands off square, because panels are in the way
	Clearance    float64  `json:"clearance"` // mm of air between the gun and the panels
	Setting      string   `json:"setting"`
	Step         WeldStep `json:"step"`  // tack, fill or released: welded once a clamp is off
	Waits        string   `json:"waits"` // why it is not earlier, in words; empty when it need not wait
	Shear        float64  `json:"shear"` // N, design resistance
	Tension      float64  `json:"tension"`
	Utilisation  float64  `json:"utilisation"` // of the joint's stated load that falls on this weld; 0 when nothing is asked
	Left         float64  `json:"left"`        // mm from the weld centre to the strip's sides
	Right        float64  `json:"right"`
	Air          float64  `json:"air"`    // mm of gap before clamping
	Before       []string `json:"before"` // ids of parts that are loaded after it, because they would keep every gun off

	Row int `json:"row,omitempty"` // 0: alone on the weld line; 1: in the right one of two rows; 2: in the left one
}

// NearWelds is two welds that are nearer to each other in space than welds may be, and how far apart they are along the
// sheet that they share, as current runs: of several sheets the one on which they are nearest.
type NearWelds struct {
	Station      string  `json:"station"`
	Weld         int     `json:"weld"`
	OtherStation string  `json:"other_station"`
	Other        int     `json:"other"`
	Sheet        string  `json:"sheet"`
	Straight     float64 `json:"straight"` // mm
	Along        float64 `json:"along"`    // mm
}

// Seam is one roller seam.
type Seam struct {
	ID      string  `json:"id"`
	Station string  `json:"station"`
	Joint   string  `json:"joint"`
	Flange  string  `json:"flange"`
	Roller  string  `json:"roller"`
	Setting string  `json:"setting"`
	Path    []Vec   `json:"path"`
	Normals []Vec   `json:"normals"`
	Closed  bool    `json:"closed"`
	Length  float64 `json:"length"`
	Speed   float64 `json:"speed"` // mm/s
	Time    float64 `json:"time"`  // s of rolling
	After   int     `json:"after"` // number of the last weld that must be made before it
}

// Gun is a gun that the plan uses.
type Gun struct {
	ID     string `json:"id"`
	Letter string `json:"letter"`
	Name   string `json:"name"`
}

// Tip is a tip that the plan uses.
type Tip struct {
	ID    string  `json:"id"`
	Name  string  `json:"name"`
	Shape string  `json:"shape"`
	Face  float64 `json:"face"`
	Dress int     `json:"dress"`
}

// Setting is a starting setting for one stack-up; it is proved by test before use.
type Setting struct {
	ID      string      `json:"id"`   // S1, S2 …; R1 … for rollers
	Kind    SettingKind `json:"kind"` // spot or roller
	Stack   string      `json:"stack"`
	Force   float64     `json:"force"`   // N
	Current float64     `json:"current"` // A
	Squeeze float64     `json:"squeeze"` // s
	Weld    float64     `json:"weld"`    // s; on time of a roller
	Hold    float64     `json:"hold"`    // s; off time of a roller
	Face    float64     `json:"face"`    // mm; wheel width of a roller
	Speed   float64     `json:"speed"`   // mm/s of a roller
	Pitch   float64     `json:"pitch"`   // mm between a roller's nuggets
	Source  string      `json:"source"`
	Note    string      `json:"note"`

	Supply        Supply  `json:"supply"`    // ac or mfdc
	Frequency     float64 `json:"frequency"` // Hz of the mains
	SqueezeCycles int     `json:"squeeze_cycles"`
	WeldCycles    int     `json:"weld_cycles"` // whole cycles of the mains; 0 for direct current
	HoldCycles    int     `json:"hold_cycles"`
	Nugget        float64 `json:"nugget"` // mm, expected; 0 where the table has none
	Shear         float64 `json:"shear"`  // N of one weld by the table
}

// Finding is a rule kept in doubt or broken. Severity is broken, waived, doubt or note.
type Finding struct {
	Rule     string   `json:"rule"`
	Severity Severity `json:"severity"`
	Where    string   `json:"where"`
	Value    float64  `json:"value"`
	Limit    float64  `json:"limit"`
	Unit     string   `json:"unit"`
	Source   string   `json:"source"`
	Remedy   string   `json:"remedy"`
	At       Vec      `json:"at"`

	Others  string `json:"other_sources,omitempty"` // limits by the rule's other sources, in words
	Station string `json:"station,omitempty"`
	Joint   string `json:"joint,omitempty"`
	Flange  string `json:"flange,omitempty"`
	Weld    int    `json:"weld,omitempty"` // number of the weld at Station, where one alone is meant

	Panels  []string  `json:"panels,omitempty"`  // ids, where panels are meant
	Setting string    `json:"setting,omitempty"` // id, where a setting is meant
	Seam    string    `json:"seam,omitempty"`    // id, where a roller seam is meant
	Also    []Subject `json:"also,omitempty"`    // what it is about in equal measure

	Was    Severity `json:"waived_from,omitempty"` // severity before the waiver
	Reason string   `json:"waiver_reason,omitempty"`
	Name   string   `json:"waiver_name,omitempty"`
}

// Subject is a thing that a finding is about beside its own: the other one of two welds.
type Subject struct {
	Station string `json:"station"`
	Joint   string `json:"joint"`
	Flange  string `json:"flange"`
	Weld    int    `json:"weld"` // number at Station; 0: none alone
}

// Line is one line of work or money, with the reason behind it.
type Line struct {
	Kind     LabourKind `json:"kind"`
	What     string     `json:"what"`
	Station  string     `json:"station"`
	Joint    string     `json:"joint"`
	Element  string     `json:"element"` // key of the shell file that Each comes from; empty: calculated
	Quantity float64    `json:"quantity"`
	Unit     string     `json:"unit"`
	Each     float64    `json:"each"` // seconds or money a unit
	Total    float64    `json:"total"`
	From     string     `json:"from"` // the inputs that it follows from

	Gun     string `json:"gun,omitempty"` // that it is about
	Roller  string `json:"roller,omitempty"`
	Tip     string `json:"tip,omitempty"`
	Setting string `json:"setting,omitempty"`
}

// StationLabour is the work in one station.
type StationLabour struct {
	Station     string  `json:"station"`
	Name        string  `json:"name"`
	Crew        int     `json:"crew"`
	ManMinutes  float64 `json:"man_minutes"` // a shell, allowances included
	Minutes     float64 `json:"minutes"`     // elapsed a shell
	Weld        float64 `json:"weld_minutes"`
	Roll        float64 `json:"roll_minutes"`
	Handling    float64 `json:"handling_minutes"`
	RollerMetre float64 `json:"roller_metres"`
	Welds       int     `json:"welds"`
	Prepare     float64 `json:"prepare_minutes"`    // jig preparation for the batch
	Change      float64 `json:"changeover_minutes"` // from another model, for the batch
	Cost        float64 `json:"cost"`               // money a shell, jig preparation and changeover shared over the batch
}

// Labour is time. Man-minutes are for one shell of the batch's average, allowances and learning included.
type Labour struct {
	ManMinutesPerShell float64         `json:"man_minutes_per_shell"`
	PrepareMinutes     float64         `json:"prepare_minutes"`    // jig preparation for the batch
	ChangeMinutes      float64         `json:"changeover_minutes"` // from another model, for the batch
	RollerMetres       float64         `json:"roller_metres_per_shell"`
	Welds              int             `json:"welds_per_shell"`
	Stations           []StationLabour `json:"stations"`
	Subassemblies      []PartLabour    `json:"subassemblies"`
	Joints             []PartLabour    `json:"joints"`
	Lines              []Line          `json:"lines"` // seconds
	Factors            []Factor        `json:"factors"`
}

// PartLabour is the work on one joint or sub-assembly.
type PartLabour struct {
	ID          string  `json:"id"`
	ManMinutes  float64 `json:"man_minutes"`
	Welds       int     `json:"welds"`
	RollerMetre float64 `json:"roller_metres"`
	Cost        float64 `json:"cost"` // money a shell
}

// Factor is an allowance or other factor on time.
type Factor struct {
	Name   string  `json:"name"`
	Value  float64 `json:"value"`
	Source string  `json:"source"`
}

// Cost is money.
type Cost struct {
	Currency             string  `json:"currency"`
	Batch                int     `json:"batch"`
	MinutesPerShell      float64 `json:"minutes_per_shell"` // man-minutes, jig preparation shared over the batch
	CostPerShell         float64 `json:"cost_per_shell"`
	CostPerBatch         float64 `json:"cost_per_batch"`
	RollerMetresPerShell float64 `json:"roller_metres_per_shell"`
	Lines                []Line  `json:"lines"` // money a shell

	Spread CostSpread `json:"spread"`
}

// CostSpread is how far the cost may be off, drawn from the spreads of its inputs: P50 is as likely too high as too low,
// and four times in five it comes to less than P80.
type CostSpread struct {
	Trials     int     `json:"trials"`
	Seed       int     `json:"seed"`
	MinutesP50 float64 `json:"minutes_p50"` // man-minutes a shell, jig preparation shared over the batch
	MinutesP80 float64 `json:"minutes_p80"`
	ShellP50   float64 `json:"shell_p50"`
	ShellP80   float64 `json:"shell_p80"`
	BatchP50   float64 `json:"batch_p50"`
	BatchP80   float64 `json:"batch_p80"`
	Movers     []Mover `json:"movers"` // greatest swing first
}

// Mover is an input by how far it moves the cost of a shell.
type Mover struct {
	ID     string  `json:"id"`     // key of the shell file
	Off    float64 `json:"off"`    // one standard deviation, in per cent of the value
	Source string  `json:"source"` // of that
	Low    float64 `json:"low"`    // money a shell with this input alone so far to the cheap side that one in ten lies beyond
	High   float64 `json:"high"`   // and to the other
}

// Flow is how a batch runs through the stations when each works on its own shell.
type Flow struct {
	Bottleneck        string  `json:"bottleneck"` // station id
	BottleneckMinutes float64 `json:"bottleneck_minutes"`
	ShellsPerWeek     float64 `json:"shells_per_week"` // 0 when no hours a week are stated
	FirstShell        float64 `json:"first_shell_minutes"`
	Makespan          float64 `json:"makespan_minutes"`          // of the batch, jigs ready
	MakespanPrepared  float64 `json:"makespan_prepared_minutes"` // with each crew turning its station over and preparing its jig first
	Efficiency        float64 `json:"line_efficiency"`           // man-minutes of a shell over crews x the bottleneck's minutes
	BalanceDelay      float64 `json:"balance_delay"`             // 1 - efficiency
	// products at work on the average once all stations are busy (Little's law); what waits between comes on top
	InWork   float64       `json:"in_work"`
	Stations []StationFlow `json:"stations"`
}

// StationFlow is one station's part in the flow.
type StationFlow struct {
	Station string  `json:"station"`
	Minutes float64 `json:"minutes"` // elapsed a shell
	Load    float64 `json:"load"`    // its minutes over the bottleneck's
}
