// Package layout holds the plan: the one value that crosses from deciding to showing. It is plain data, which
// package planfile writes as plan.json.
//
//	plan, err := planner.Build(ctx, input)
//	err = planfile.Write(file, plan)
//
// Millimetres, newtons, seconds, degrees; money in the shell file's currency.
package layout

// Format is the number of the plan's format. Plans of format 1 are read too; newer ones are refused.
const Format = 2

// Vec is a point or direction: x, y, z.
type Vec [3]float64

// Range is least, mean and greatest.
type Range struct {
	Least    float64 `json:"least" about:"least" unit:"mm"`
	Mean     float64 `json:"mean" about:"mean" unit:"mm"`
	Greatest float64 `json:"greatest" about:"greatest" unit:"mm"`
}

// Plan is everything decided about one shell.
type Plan struct {
	Format        int           `json:"format" about:"number of this format"`
	Shell         Shell         `json:"shell" about:"what is built"`
	Panels        []Panel       `json:"panels" about:"pressed parts in their places"`
	Subassemblies []Subassembly `json:"subassemblies" about:"the tree of sub-assemblies"`
	Stations      []Station     `json:"stations" about:"jigs in the order of work"`
	Joints        []Joint       `json:"joints" about:"panels to be welded together"`
	Flanges       []Flange      `json:"flanges" about:"strips where sheets lie on each other"`
	Runs          []Run         `json:"runs" about:"stretches welded with one gun, tip and setting without a break"`
	Welds         []Weld        `json:"welds" about:"spots, by station and then number"`
	Seams         []Seam        `json:"seams" about:"roller seams, by station in the order in which they are rolled"`
	Guns          []Gun         `json:"guns" about:"guns that the plan uses"`
	Tips          []Tip         `json:"tips" about:"tips that the plan uses"`
	Settings      []Setting     `json:"settings" about:"starting settings by stack-up, to be proved by test before use"`
	Findings      []Finding     `json:"findings" about:"rules broken or kept in doubt, and notes"`
	Labour        Labour        `json:"labour" about:"time for one shell"`
	Cost          Cost          `json:"cost" about:"money for one shell and for the batch"`
	Flow          Flow          `json:"flow" about:"how the batch runs through the stations"`
	Notes         []string      `json:"notes" about:"what was read, mended, skipped or assumed"`

	Rollers   []Roller    `json:"rollers,omitempty" about:"roller heads that the plan uses"`
	NearWelds []NearWelds `json:"near_welds,omitempty" about:"pairs of welds near each other whose distance along a sheet was measured"`
}

// Shell names what is built.
type Shell struct {
	Name     string `json:"name" about:"name of the shell; title in the title block"`
	Number   string `json:"number" about:"identification number of the map set (ISO 7200)"`
	Revision string `json:"revision" about:"revision index (ISO 7200)"`
	Batch    int    `json:"batch" about:"shells in one batch"`
	Owner    string `json:"owner" about:"legal owner (ISO 7200)"`
	Creator  string `json:"creator" about:"creator (ISO 7200)"`
	Approver string `json:"approver" about:"approval person (ISO 7200)"`
	Status   Status `json:"status" about:"what the shell file says that the plan may be used for; empty: draft"`
	Issued   string `json:"issued" about:"date of issue as stated in the shell file (ISO 7200)"`
	Input    string `json:"input" about:"SHA-256 of the shell file and of every file that it names"`
}

// Panel is one pressed part in its place.
type Panel struct {
	ID        string     `json:"id" about:"id in the shell file"`
	Name      string     `json:"name" about:"name in words"`
	Steel     string     `json:"steel" about:"id of its steel"`
	Grade     string     `json:"grade" about:"steel grade"`
	Thickness float64    `json:"thickness" about:"nominal sheet thickness" unit:"mm"`
	Coating   string     `json:"coating" about:"none, or an EN 10346 designation"`
	Surface   string     `json:"surface" about:"what the mesh shows of the sheet"`
	Triangles int        `json:"triangles" about:"triangles of its mesh"`
	Area      float64    `json:"area" about:"area of one side" unit:"mm²"`
	Mass      float64    `json:"mass" about:"mass" unit:"kg"`
	Box       [2]Vec     `json:"box" about:"least and greatest corner in the shell's frame" unit:"mm"`
	Station   string     `json:"station" about:"id of the station where it arrives"`
	Blank     [2]float64 `json:"blank" about:"length and width of the least rectangle that holds it laid flat, without allowances" unit:"mm"`
	Warnings  []string   `json:"warnings" about:"what looked wrong when it was read"`

	KeepOuts []Outline `json:"keep_outs,omitempty" about:"outlines drawn on its blank that no weld may be in, in its place"`
}

// Outline is a drawn line; a closed one does not repeat its first point.
type Outline struct {
	Points []Vec `json:"points" about:"along it; a closed one does not repeat its first" unit:"mm"`
	Closed bool  `json:"closed" about:"whether it goes back to its first point and holds what is within"`
}

// Subassembly is a node of the tree of sub-assemblies.
type Subassembly struct {
	ID    string   `json:"id" about:"id in the shell file"`
	Name  string   `json:"name" about:"name in words"`
	Parts []string `json:"parts" about:"ids of panels and sub-assemblies"`
}

// Station is one jig and what happens in it.
type Station struct {
	ID         string      `json:"id" about:"id in the shell file"`
	Name       string      `json:"name" about:"name in words"`
	Jig        string      `json:"jig" about:"the jig"`
	Crew       int         `json:"crew" about:"people at work at once"`
	Makes      string      `json:"makes" about:"id of the sub-assembly that leaves it; empty: the shell"`
	Arrives    []string    `json:"arrives" about:"ids of the panels and sub-assemblies that are loaded, in loading order"`
	Present    []string    `json:"present" about:"ids of the panels in the jig, those within arriving sub-assemblies included"`
	Guns       []string    `json:"guns" about:"ids of the guns at hand"`
	GunCounts  []int       `json:"gun_counts,omitempty" about:"how many of each gun are at hand, in the order of guns"`
	Clamps     []Fixture   `json:"clamps" about:"clamps of the jig"`
	Dowels     []Fixture   `json:"dowels" about:"dowels of the jig"`
	HoldPoints []HoldPoint `json:"hold_points" about:"gauges and dimensions that must be right before the next weld"`
	Steps      []Step      `json:"steps" about:"order of work"`
	Welds      int         `json:"welds" about:"spots made here on one shell"`
	Minutes    float64     `json:"minutes" about:"elapsed at the jig for one shell, by the schedule of its crew" unit:"min"`
	Order      Order       `json:"order" about:"what the order of its work costs in walking and changes"`
	Crewing    Crewing     `json:"crewing" about:"who does what when"`
	Work       []Work      `json:"work,omitempty" about:"what is done besides welding, as stated"`
	Unreached  []Unreached `json:"unreached,omitempty" about:"welds that no gun at hand reaches: they are in no step, nor in time and money"`
	OneByOne   bool        `json:"clamps_one_by_one,omitempty" about:"clamps open one by one, each with the welds under it made first"`
	ClampTurns []string    `json:"clamp_turns,omitempty" about:"ids of clamps that open one by one, in the order in which they do"`
	HandOver   float64     `json:"hand_over,omitempty" about:"that a gun takes from one person to another" unit:"s"`
	JigMove    float64     `json:"jig_move,omitempty" about:"man-minutes to roll this jig on with what it holds, or back empty" unit:"min"`
	JigHours   float64     `json:"jig_hours,omitempty" about:"man-hours of making this jig again, by its clamps and dowels" unit:"h"`
}

// Work is what is done at a station and is no welding.
type Work struct {
	ID      string   `json:"id" about:"id"`
	Name    string   `json:"name" about:"what is done, in words"`
	Before  []string `json:"before" about:"ids of what waits for it: joints, parts, hold points, other work, or tacks"`
	After   []string `json:"after" about:"ids of what it waits for"`
	Crew    int      `json:"crew" about:"how many people do it together"`
	Minutes float64  `json:"minutes" about:"how long they take on one shell, without allowances" unit:"min"`
	Source  string   `json:"source" about:"where the time comes from; empty: not stated"`
}

// Unreached is neighbouring welds of one flange that no gun at hand reaches.
type Unreached struct {
	Run      int       `json:"run" about:"number of their run, which nobody welds"`
	Joint    string    `json:"joint" about:"id of the joint"`
	Flange   string    `json:"flange" about:"id of the flange"`
	From     int       `json:"from" about:"number of the first weld"`
	To       int       `json:"to" about:"number of the last weld"`
	Count    int       `json:"count" about:"number of welds"`
	Why      string    `json:"why" about:"what keeps the best gun at hand off the worst of them"`
	Would    string    `json:"would" about:"what would do, in words"`
	Measures []Measure `json:"measures,omitempty" about:"sizes with which a gun at hand would reach all of them, with the best of its tips"`
	Helps    []Help    `json:"helps,omitempty" about:"other guns that reach them, and what else would let a gun at hand in"`
	Force    float64   `json:"force,omitempty" about:"electrode force that their setting asks for, where no gun at hand has it" unit:"N"`
}

// Help is a gun that reaches welds which nothing reaches as things stand.
type Help struct {
	Gun    string `json:"gun" about:"id of the gun"`
	Tip    string `json:"tip" about:"id of its tip"`
	Welds  int    `json:"welds" about:"how many of them it reaches"`
	AtHand bool   `json:"at_hand,omitempty" about:"the gun is at the station"`
	Before string `json:"before,omitempty" about:"id of the part before whose arrival it does"`
	Clamp  string `json:"clamp,omitempty" about:"id of the clamp without which it does"`
}

// Measure is a size of a gun or tip that would do.
type Measure struct {
	Gun      string      `json:"gun" about:"id of the gun at hand that it is compared with"`
	Tip      string      `json:"tip" about:"id of its tip"`
	Kind     MeasureKind `json:"kind" about:"the size"`
	Has      float64     `json:"has" about:"what the gun has" unit:"mm"`
	Needed   float64     `json:"needed" about:"what would do: of depth, gap and length the least, of arm and tip the greatest" unit:"mm"`
	Together bool        `json:"together,omitempty" about:"not by itself: only with the others of the list"`
	Stuck    bool        `json:"stuck,omitempty" about:"with it the gun stands there, and was not seen to come straight off again"`
}

// Crewing is a station's work shared out among its crew: a schedule of persons, guns and room to work.
type Crewing struct {
	Minutes float64 `json:"minutes" about:"elapsed for one shell" unit:"min"`
	Bound   float64 `json:"bound" about:"no schedule of this work takes less" unit:"min"`
	Proven  bool    `json:"proven" about:"no schedule takes less than minutes"`
	Shares  []Share `json:"shares" about:"stretches of work, by person and start"`
}

// Share is a stretch of one person's work.
type Share struct {
	Person int     `json:"person" about:"number of the person, from 1"`
	Step   int     `json:"step" about:"place in the station's steps, from 1"`
	Run    int     `json:"run" about:"run that is welded; 0: other work"`
	Joint  string  `json:"joint,omitempty" about:"id of the joint that is marked out or fitted"`
	From   float64 `json:"from" about:"from the station's first start" unit:"min"`
	To     float64 `json:"to" about:"from the station's first start" unit:"min"`
}

// Order is what the order of a station's hold points, welds and roller seams costs in walking and changes.
type Order struct {
	Travel     float64 `json:"travel" about:"walked and moved" unit:"mm"`
	GunChanges int     `json:"gun_changes" about:"one gun or roller put down and another taken"`
	TipChanges int     `json:"tip_changes" about:"on the same gun, back to its first tip for the next shell included"`
	Postures   int     `json:"postures" about:"runs that begin in another posture than the weld before"`
	Seconds    float64 `json:"seconds" about:"travel and changes" unit:"s"`
	Proven     bool    `json:"proven" about:"no order of the runs takes less"`
}

// Fixture is a clamp or dowel.
type Fixture struct {
	ID      string  `json:"id" about:"id"`
	At      Vec     `json:"at" about:"place in the shell's frame" unit:"mm"`
	Radius  float64 `json:"radius" about:"radius that no weld may enter" unit:"mm"`
	Release Release `json:"release,omitempty" about:"tacks: a clamp opened once its joints are tacked; end: one that stays shut"`
}

// HoldPoint is a gauge or dimension that must be right before the next weld.
type HoldPoint struct {
	ID        string  `json:"id" about:"id"`
	Text      string  `json:"text" about:"what is gauged"`
	Before    string  `json:"before" about:"what waits for it, as stated: ids of joints, sub-assemblies, panels or tacks; empty: not stated"`
	Value     float64 `json:"value" about:"wanted dimension" unit:"mm"`
	Tolerance float64 `json:"tolerance" about:"allowed either way" unit:"mm"`
	At        Vec     `json:"at" about:"one end of the dimension" unit:"mm"`
	To        Vec     `json:"to" about:"its other end" unit:"mm"`

	Kind   HoldKind `json:"kind,omitempty" about:"a gauge that fits, a dimension, or a dimension near that of another hold point"`
	With   string   `json:"with,omitempty" about:"id of the hold point whose dimension it is compared with, within the tolerance"`
	Joints []string `json:"joints,omitempty" about:"ids of the joints whose first weld waits for it; none: the station's first weld"`
	On     []string `json:"on,omitempty" about:"ids of the parts that its ends lie on, which are loaded before it"`
}

// Step is one line of the order of work.
type Step struct {
	Do   StepKind `json:"do" about:"kind of work"`
	Text string   `json:"text" about:"the step in words"`
	Runs []int    `json:"runs,omitempty" about:"ids of the runs welded in it"`

	Parts    []string `json:"parts,omitempty" about:"ids of the parts loaded in it"`
	Fixtures []string `json:"fixtures,omitempty" about:"ids of the dowels or clamps that it is about"`
	Joints   []string `json:"joints,omitempty" about:"ids of the joints marked out or fitted in it"`
	Seam     string   `json:"seam,omitempty" about:"id of the roller seam rolled in it"`
	Work     string   `json:"work,omitempty" about:"id of the work besides welding that it is"`
	Hold     string   `json:"hold,omitempty" about:"id of the hold point gauged in it"`
	Persons  []int    `json:"persons,omitempty" about:"numbers of the persons who do it, from 1"`
	From     float64  `json:"from,omitempty" about:"when the first of them begins, from the station's first start" unit:"min"`
	To       float64  `json:"to,omitempty" about:"when the last of them ends" unit:"min"`
}

// Joint is panels to be welded together and what became of it.
type Joint struct {
	ID      string    `json:"id" about:"id"`
	Name    string    `json:"name" about:"name in words"`
	Panels  []string  `json:"panels" about:"ids of the panels that it joins"`
	Kind    JointKind `json:"kind" about:"how it is welded"`
	Found   bool      `json:"found" about:"whether the program found it rather than the shell file stating it"`
	Station string    `json:"station" about:"id of its station; empty: its panels never meet"`
	Flanges []string  `json:"flanges" about:"ids of its flanges"`
	Welds   int       `json:"welds" about:"number of spots"`
	Length  float64   `json:"length" about:"length of its weld lines" unit:"mm"`
	Shear   Strength  `json:"shear" about:"in the plane of the sheets"`
	Tension Strength  `json:"tension" about:"pulling the sheets apart"`
	Minutes float64   `json:"minutes" about:"man-minutes on one shell" unit:"min"`
}

// Strength is what a joint carries against what it must, in N; Source says by which rule.
type Strength struct {
	Capacity    float64 `json:"capacity" about:"what it carries" unit:"N"`
	Demand      float64 `json:"demand" about:"what it must carry" unit:"N"`
	Utilisation float64 `json:"utilisation" about:"demand over capacity; 0 when nothing is asked" unit:"ratio"`
	Source      string  `json:"source" about:"rule that gives the capacity"`
}

// Flange is one strip where sheets lie on each other.
type Flange struct {
	ID      string      `json:"id" about:"id"`
	Joint   string      `json:"joint" about:"id of its joint; empty: found, but in no joint"`
	Panels  []string    `json:"panels" about:"ids of its sheets in stack order along the normals"`
	Closed  bool        `json:"closed" about:"whether the strip closes on itself"`
	Patch   bool        `json:"patch" about:"whether it is a patch rather than a strip"`
	Length  float64     `json:"length" about:"length of the weld line" unit:"mm"`
	Width   Range       `json:"width" about:"width across the weld line" unit:"mm"`
	Air     Range       `json:"air" about:"between facing sheet surfaces, all interfaces added" unit:"mm"`
	Area    float64     `json:"area" about:"area of the strip" unit:"mm²"`
	Line    []LinePoint `json:"line" about:"the weld line; a closed one does not repeat its first point"`
	Outline [][]Vec     `json:"outline" about:"loops round the strip; of rows over one broad contact, round the contact" unit:"mm"`
	Holes   []Hole      `json:"holes" about:"openings in the strip, and notches that reach into it"`
}

// LinePoint is one place on a weld line.
type LinePoint struct {
	Along  float64 `json:"along" about:"from the start of the line, as the finder measured it" unit:"mm"`
	At     Vec     `json:"at" about:"place in the shell's frame" unit:"mm"`
	Normal Vec     `json:"normal" about:"sheet normal" unit:"unit vector"`
	Left   float64 `json:"left" about:"along the sheet to the strip's side on the left of the line's way" unit:"mm"`
	Right  float64 `json:"right" about:"the same to the right" unit:"mm"`
	Air    float64 `json:"air" about:"between the sheets, all interfaces added" unit:"mm"`
	Ends   [2]Edge `json:"ends" about:"what ends the strip on the left and on the right"`
}

// Side is what a strip's two sides are along a stretch of its weld line.
type Side struct {
	From, To    float64 // mm along the line
	Left, Right Edge
}

// Hole is an opening in a strip.
type Hole struct {
	At     Vec     `json:"at" about:"middle of the opening" unit:"mm"`
	Radius float64 `json:"radius" about:"of the least circle that holds it" unit:"mm"`
}

// Run is a stretch of weld line welded with one gun, tip and setting without a break. Its welds are
// numbered From to To without a gap.
type Run struct {
	ID      int      `json:"id" about:"id"`
	Station string   `json:"station" about:"id of its station"`
	Joint   string   `json:"joint" about:"id of its joint"`
	Flange  string   `json:"flange" about:"id of its flange"`
	From    int      `json:"from" about:"number of its first weld"`
	To      int      `json:"to" about:"number of its last weld"`
	Count   int      `json:"count" about:"number of welds"`
	Pitch   Range    `json:"pitch" about:"between neighbours along the weld line, in any order of welding; zeros for a single weld" unit:"mm"`
	Gun     string   `json:"gun" about:"id of the gun"`
	Tip     string   `json:"tip" about:"id of the tip"`
	Setting string   `json:"setting" about:"id of the setting"`
	Step    WeldStep `json:"step" about:"when it is welded"`
	Minutes float64  `json:"minutes" about:"man-minutes on one shell" unit:"min"`
	Tacks   TackRule `json:"tacks,omitempty" about:"of tacks: how they are gone through"`
	Clamps  []string `json:"clamps,omitempty" about:"ids of the clamps that are opened for it, where they open one by one"`
	Blocked bool     `json:"unreached,omitempty" about:"no gun at hand reaches its welds: it is in no step, nor in time and money"`
}

// Weld is one spot.
type Weld struct {
	Number       int      `json:"number" about:"in welding order within the station, from 1"`
	Station      string   `json:"station" about:"id of its station"`
	Joint        string   `json:"joint" about:"id of its joint"`
	Flange       string   `json:"flange" about:"id of its flange"`
	Run          int      `json:"run" about:"id of its run"`
	Position     Vec      `json:"position" about:"centre in the shell's frame" unit:"mm"`
	Axis         Vec      `json:"axis" about:"direction of the electrode force, normal to the sheets" unit:"unit vector"`
	Along        float64  `json:"along" about:"from the start of the flange's weld line" unit:"mm"`
	Sheets       []string `json:"sheets" about:"ids of the panels that it joins, in stack order"`
	WeldDiameter float64  `json:"weld_diameter" about:"wanted weld diameter" unit:"mm"`
	Unreached    bool     `json:"unreached,omitempty" about:"no gun at hand gets there: gun and tip are those that miss least"`
	Accepted     float64  `json:"accepted_diameter" about:"of a peeled or chiselled weld, least; more where a load counts on it" unit:"mm"`
	Gun          string   `json:"gun" about:"id of the gun; empty: none reaches"`
	Tip          string   `json:"tip" about:"id of the tip; empty: none reaches"`
	Turn         float64  `json:"turn" about:"about the axis, from the weld line to the gun's throat" unit:"degrees"`
	Tilt         float64  `json:"tilt" about:"that the gun stands off square to the sheets; 0 for most" unit:"degrees"`
	Clearance    float64  `json:"clearance" about:"between gun and panels present, at most 10; 0 where no gun reaches" unit:"mm"`
	Setting      string   `json:"setting" about:"id of the setting"`
	Step         WeldStep `json:"step" about:"tack, fill, or released: welded once a clamp is off"`
	Waits        string   `json:"waits" about:"why it is not earlier; empty when it need not wait"`
	Shear        float64  `json:"shear" about:"design resistance in shear" unit:"N"`
	Tension      float64  `json:"tension" about:"design resistance in tension" unit:"N"`
	Utilisation  float64  `json:"utilisation" about:"of the joint's stated load that falls on this weld; 0 when nothing is asked" unit:"ratio"`
	Left         float64  `json:"left" about:"from the centre to the strip's side on the left of the weld line" unit:"mm"`
	Right        float64  `json:"right" about:"the same to the right" unit:"mm"`
	Air          float64  `json:"air" about:"between the sheets, before clamping" unit:"mm"`
	Before       []string `json:"before" about:"ids of parts that are loaded after it, because they would keep every gun off"`

	Row int `json:"row,omitempty" about:"0: alone on the weld line; else its row of several, from the right, seen along the line"`
}

// NearWelds is two welds that are nearer to each other in space than welds may be, and how far apart they are along the
// sheet that they share, as current runs: of several sheets the one on which they are nearest.
type NearWelds struct {
	Station      string  `json:"station" about:"id of the station of the one weld"`
	Weld         int     `json:"weld" about:"its number there"`
	OtherStation string  `json:"other_station" about:"id of the station of the other"`
	Other        int     `json:"other" about:"its number there"`
	Sheet        string  `json:"sheet" about:"id of the panel that both are on"`
	Straight     float64 `json:"straight" about:"straight from centre to centre" unit:"mm"`
	Along        float64 `json:"along" about:"along the panel, over its bends" unit:"mm"`
}

// Seam is one roller seam.
type Seam struct {
	ID      string  `json:"id" about:"id"`
	Station string  `json:"station" about:"id of its station"`
	Joint   string  `json:"joint" about:"id of its joint"`
	Flange  string  `json:"flange" about:"id of its flange"`
	Roller  string  `json:"roller" about:"id of the roller"`
	Setting string  `json:"setting" about:"id of the setting"`
	Path    []Vec   `json:"path" about:"points of the seam in the shell's frame" unit:"mm"`
	Normals []Vec   `json:"normals" about:"sheet normal at each point" unit:"unit vector"`
	Closed  bool    `json:"closed" about:"whether the seam closes on itself"`
	Length  float64 `json:"length" about:"length of the seam" unit:"mm"`
	Speed   float64 `json:"speed" about:"rolling speed" unit:"mm/s"`
	Time    float64 `json:"time" about:"rolling time" unit:"s"`
	After   int     `json:"after" about:"number of the last weld that must be made before it"`
}

// Gun is a gun that the plan uses.
type Gun struct {
	ID     string `json:"id" about:"id in the shell file"`
	Letter string `json:"letter" about:"one or two letters for maps"`
	Name   string `json:"name" about:"name in words"`

	Mass float64 `json:"mass,omitempty" about:"that the welder moves; left out: not stated" unit:"kg"`
}

// Roller is a roller head that the plan uses.
type Roller struct {
	ID     string `json:"id" about:"id in the shell file"`
	Letter string `json:"letter" about:"one or two letters for maps"`
	Name   string `json:"name" about:"name in words"`

	Dress  float64 `json:"dress,omitempty" about:"seam between dressings of its wheels; left out: not stated" unit:"m"`
	Wheels float64 `json:"wheels,omitempty" about:"seam that a pair of wheels lasts; left out: not stated" unit:"m"`
}

// Tip is a tip that the plan uses.
type Tip struct {
	ID    string  `json:"id" about:"id in the shell file"`
	Name  string  `json:"name" about:"name in words"`
	Shape string  `json:"shape" about:"shape of the electrode face"`
	Face  float64 `json:"face" about:"diameter or width of the face" unit:"mm"`
	Dress int     `json:"dress" about:"welds between dressings"`

	Dressings int `json:"dressings,omitempty" about:"dressings that a pair of caps lasts"`
}

// Setting is a starting setting for one stack-up; it is proved by test before use.
type Setting struct {
	ID      string      `json:"id" about:"id: S and a number for spots, R and a number for rollers"`
	Kind    SettingKind `json:"kind" about:"what it sets"`
	Stack   string      `json:"stack" about:"the sheets in words"`
	Force   float64     `json:"force" about:"electrode force" unit:"N"`
	Current float64     `json:"current" about:"welding current" unit:"A"`
	Squeeze float64     `json:"squeeze" about:"squeeze time" unit:"s"`
	Weld    float64     `json:"weld" about:"weld time; on time of a roller" unit:"s"`
	Hold    float64     `json:"hold" about:"hold time; off time of a roller" unit:"s"`
	Wheel   float64     `json:"face" about:"wheel width of a roller; 0 for spots: the cap's face is its tip's" unit:"mm"`
	Speed   float64     `json:"speed" about:"rolling speed" unit:"mm/s"`
	Pitch   float64     `json:"pitch" about:"between a roller's nuggets" unit:"mm"`
	Source  string      `json:"source" about:"table that it comes from"`
	Note    string      `json:"note" about:"what to know before use"`

	Supply         Supply  `json:"supply" about:"kind of welding current"`
	Frequency      float64 `json:"frequency" about:"of the mains that the timer counts" unit:"Hz"`
	SqueezeCycles  int     `json:"squeeze_cycles" about:"squeeze time in whole cycles of the mains; 0 for direct current"`
	WeldCycles     int     `json:"weld_cycles" about:"weld time, or on time of a roller, in whole cycles of the mains; 0 for direct current"`
	HoldCycles     int     `json:"hold_cycles" about:"hold time, or off time of a roller, in whole cycles of the mains; 0 for direct current"`
	SqueezeByShell bool    `json:"squeeze_by_shell,omitempty" about:"the squeeze time is the shell file's squeeze_s, not the table's"`
	Nugget         float64 `json:"nugget" about:"nugget diameter expected; 0 where the table has none" unit:"mm"`
	Shear          float64 `json:"shear" about:"shear strength of one weld by the setting's table; 0 where it has none" unit:"N"`
}

// Finding is a rule kept in doubt or broken. Severity is broken, waived, doubt or note.
type Finding struct {
	Rule     string   `json:"rule" about:"the rule that was checked"`
	Severity Severity `json:"severity" about:"broken: not to be used so; waived: on somebody's word; doubt: look at it; note: worth knowing"`
	Where    string   `json:"where" about:"station, joint, flange or weld"`
	Value    float64  `json:"value" about:"what was found" unit:"as the unit member says"`
	Limit    float64  `json:"limit" about:"what the rule allows" unit:"as the unit member says"`
	Unit     string   `json:"unit" about:"unit of value and limit"`
	Source   string   `json:"source" about:"where the rule comes from"`
	Remedy   string   `json:"remedy" about:"what to do about it"`
	At       Vec      `json:"at" about:"place in the shell's frame" unit:"mm"`

	From    Origin `json:"from,omitempty" about:"who set the rule or its limit: the program's book, the works' book or the shell file"`
	Others  string `json:"other_sources,omitempty" about:"limits by the rule's other sources, in words"`
	Station string `json:"station,omitempty" about:"id of the station, where one is meant"`
	Joint   string `json:"joint,omitempty" about:"id of the joint, where one is meant"`
	Flange  string `json:"flange,omitempty" about:"id of the flange, where one is meant"`
	Weld    int    `json:"weld,omitempty" about:"number of the weld at the station, where one alone is meant"`

	Panels  []string  `json:"panels,omitempty" about:"ids of panels, where panels are meant"`
	Setting string    `json:"setting,omitempty" about:"id of the setting, where one is meant"`
	Seam    string    `json:"seam,omitempty" about:"id of the roller seam, where one is meant"`
	Also    []Subject `json:"also,omitempty" about:"what it is about in equal measure, such as the other one of two welds"`

	Was    Severity `json:"waived_from,omitempty" about:"severity before the waiver"`
	Reason string   `json:"waiver_reason,omitempty" about:"why it is waived"`
	Name   string   `json:"waiver_name,omitempty" about:"who answers for the waiver"`
}

// Subject is a thing that a finding is about beside its own: the other one of two welds.
type Subject struct {
	Station string `json:"station" about:"id of the station"`
	Joint   string `json:"joint" about:"id of the joint"`
	Flange  string `json:"flange" about:"id of the flange"`
	Weld    int    `json:"weld" about:"number of the weld at the station; 0: none alone"`
}

// Line is one line of work or money, with the reason behind it.
type Line struct {
	Kind     LabourKind `json:"kind" about:"what it is for"`
	What     string     `json:"what" about:"the work or the thing bought"`
	Station  string     `json:"station" about:"id of the station; empty: the whole shell"`
	Joint    string     `json:"joint" about:"id of the joint; empty: the whole station"`
	Element  string     `json:"element" about:"key of the shell file that each comes from; empty: calculated"`
	Quantity float64    `json:"quantity" about:"how many" unit:"as the unit member says"`
	Unit     string     `json:"unit" about:"unit of the quantity"`
	Each     float64    `json:"each" about:"for one" unit:"s or money"`
	Total    float64    `json:"total" about:"for one shell; lines add up exactly" unit:"s or money"`
	From     string     `json:"from" about:"the inputs that it follows from"`

	Gun     string `json:"gun,omitempty" about:"id of the gun that it is about"`
	Roller  string `json:"roller,omitempty" about:"id of the roller that it is about"`
	Tip     string `json:"tip,omitempty" about:"id of the tip that it is about"`
	Setting string `json:"setting,omitempty" about:"id of the setting that it is about"`
}

// StationLabour is the work in one station.
type StationLabour struct {
	Station     string  `json:"station" about:"id of the station"`
	Name        string  `json:"name" about:"name in words"`
	Crew        int     `json:"crew" about:"people at work at once"`
	ManMinutes  float64 `json:"man_minutes" about:"man-minutes on one shell, allowances included" unit:"min"`
	Minutes     float64 `json:"minutes" about:"elapsed for one shell, by the schedule of its crew" unit:"min"`
	Weld        float64 `json:"weld_minutes" about:"man-minutes at spots" unit:"min"`
	Roll        float64 `json:"roll_minutes" about:"man-minutes at roller seams" unit:"min"`
	Handling    float64 `json:"handling_minutes" about:"man-minutes at everything else" unit:"min"`
	Hand        float64 `json:"hand_minutes" about:"man-minutes of hand work on the very first shell, which practice shortens" unit:"min"`
	RollerMetre float64 `json:"roller_metres" about:"roller seams on one shell" unit:"m"`
	Welds       int     `json:"welds" about:"spots on one shell"`
	Prepare     float64 `json:"prepare_minutes" about:"man-minutes of jig preparation for the batch" unit:"min"`
	Change      float64 `json:"changeover_minutes" about:"man-minutes of changeover from another model for the batch" unit:"min"`
	Cost        float64 `json:"cost" about:"a shell, jig preparation shared over the batch" unit:"money"`
}

// Labour is time. Man-minutes are for one shell of the batch's average, allowances and learning included.
type Labour struct {
	ManMinutesPerShell float64         `json:"man_minutes_per_shell" about:"man-minutes a shell, batch average: sum of the lines" unit:"min"`
	PrepareMinutes     float64         `json:"prepare_minutes" about:"jig preparation for the batch" unit:"min"`
	ChangeMinutes      float64         `json:"changeover_minutes" about:"changeover from another model for the batch" unit:"min"`
	RollerMetres       float64         `json:"roller_metres_per_shell" about:"roller seams on one shell" unit:"m"`
	Welds              int             `json:"welds_per_shell" about:"spots on one shell"`
	Stations           []StationLabour `json:"stations" about:"by station"`
	Subassemblies      []PartLabour    `json:"subassemblies" about:"by sub-assembly, with those that it is made of"`
	Joints             []PartLabour    `json:"joints" about:"by joint"`
	Lines              []Line          `json:"lines" about:"man-seconds a shell, piece by piece"`
	Factors            []Factor        `json:"factors" about:"allowances and other factors on time"`

	Practice    Practice `json:"practice" about:"how hand work gets shorter from shell to shell"`
	Practised   float64  `json:"practised" about:"factor on hand work by practice, on the average of the batch" unit:"ratio"`
	CouponsEach float64  `json:"coupons_each" about:"test coupons for a shell with each gun or roller of a station" unit:"ratio"`
}

// PartLabour is the work on one joint or sub-assembly.
type PartLabour struct {
	ID          string  `json:"id" about:"id of the joint or sub-assembly"`
	ManMinutes  float64 `json:"man_minutes" about:"man-minutes on one shell" unit:"min"`
	Welds       int     `json:"welds" about:"spots on one shell"`
	RollerMetre float64 `json:"roller_metres" about:"roller seams on one shell" unit:"m"`
	Cost        float64 `json:"cost" about:"a shell" unit:"money"`
}

// Factor is an allowance or other factor on time.
type Factor struct {
	Name   string  `json:"name" about:"the factor"`
	Value  float64 `json:"value" about:"its value" unit:"ratio"`
	Source string  `json:"source" about:"where it comes from"`
}

// Cost is money.
type Cost struct {
	Currency             string  `json:"currency" about:"ISO 4217 code"`
	Batch                int     `json:"batch" about:"shells in the batch"`
	MinutesPerShell      float64 `json:"minutes_per_shell" about:"man-minutes a shell, jig preparation shared over the batch" unit:"min"`
	CostPerShell         float64 `json:"cost_per_shell" about:"the sum of the lines" unit:"money"`
	CostPerBatch         float64 `json:"cost_per_batch" about:"cost a shell in whole cents times the batch" unit:"money"`
	RollerMetresPerShell float64 `json:"roller_metres_per_shell" about:"roller seams on one shell" unit:"m"`
	Lines                []Line  `json:"lines" about:"money a shell, piece by piece"`

	Spread CostSpread `json:"spread" about:"how far it may be off"`
	Steel  []Sheet    `json:"steel" about:"sheet steel to buy for the batch, which the cost does not hold"`
	Paid   Paid       `json:"paid" about:"what is paid for beside what is worked"`

	TrimAllowance  float64 `json:"trim_allowance" about:"of a blank on every side, to trim away" unit:"mm"`
	PressAllowance float64 `json:"press_allowance" about:"of a blank on every side, for the blank holder of the press" unit:"mm"`
}

// Sheet is one kind of sheet steel to buy for the batch.
type Sheet struct {
	Grade     string  `json:"grade" about:"steel grade"`
	Thickness float64 `json:"thickness" about:"nominal thickness" unit:"mm"`
	Coating   string  `json:"coating" about:"as the shell file names it; empty: bare"`
	Cuts      []Cut   `json:"cuts" about:"blanks by size, the longest first"`
	Pieces    int     `json:"pieces" about:"blanks for the batch"`
	Mass      float64 `json:"mass" about:"for the batch" unit:"kg"`
	Tolerance string  `json:"tolerance" about:"of the thickness, in words"`
	PerKilo   float64 `json:"price_per_kg" about:"0: no price is stated" unit:"money"`
	Cost      float64 `json:"cost" about:"for the batch in whole cents; 0: no price is stated" unit:"money"`
}

// Cut is one size of blank.
type Cut struct {
	Panels []string `json:"panels" about:"ids of the panels that are pressed from it"`
	Length float64  `json:"length" about:"allowances included" unit:"mm"`
	Width  float64  `json:"width" about:"allowances included" unit:"mm"`
	Pieces int      `json:"pieces" about:"for the batch"`
	Mass   float64  `json:"mass" about:"of one" unit:"kg"`
}

// Paid is what a works pays for beside what is worked: who is there, for how long, and what limits. A crew works a shell through at
// its jig; who is at no jig stands by.
type Paid struct {
	People  int     `json:"people" about:"at work at once; 0: not stated, each jig has its own crew"`
	Places  int     `json:"places" about:"crews of all jigs together"`
	Shifts  int     `json:"shifts" about:"a day"`
	Minutes float64 `json:"minutes" about:"from the first start, jig preparation included, until the batch is out" unit:"min"`
	Bound   float64 `json:"bound" about:"no order of work takes less" unit:"min"`
	Worked  float64 `json:"worked_minutes" about:"man-minutes of work for the batch, preparation and changeover included" unit:"min"`
	AtJigs  float64 `json:"at_jigs_minutes" about:"man-minutes that crews are at their jigs, waiting for each other included" unit:"min"`
	Paid    float64 `json:"paid_minutes" about:"man-minutes that everybody is there" unit:"min"`
	Weeks   float64 `json:"weeks" about:"calendar, by the hours a week and the shifts; 0: no hours are stated" unit:"ratio"`
	StandBy float64 `json:"stand_by_cost" about:"a shell: wages and overhead for what is paid and not worked" unit:"money"`
	Limit   string  `json:"limit" about:"people, or the id of the station that limits the batch"`
	Jigs    []InUse `json:"jigs" about:"by station"`
	Guns    []InUse `json:"guns" about:"guns and rollers by station, in somebody's hands"`
}

// InUse is how much of the batch's time a jig, gun or roller is in use.
type InUse struct {
	Station string  `json:"station" about:"id of the station"`
	ID      string  `json:"id" about:"id of the gun or roller; of a jig, the station's"`
	Count   int     `json:"count" about:"how many there are"`
	Minutes float64 `json:"minutes" about:"in use for the batch, all of them together" unit:"min"`
	Share   float64 `json:"share" about:"of the time that they are there" unit:"ratio"`
}

// CostSpread is how far the cost may be off, drawn from the spreads of its inputs: P50 is as likely too high as too low,
// and four times in five it comes to less than P80.
type CostSpread struct {
	Trials     int       `json:"trials" about:"how often all inputs were drawn from their spreads; 0: never"`
	Seed       int       `json:"seed" about:"of the drawings"`
	MinutesP50 float64   `json:"minutes_p50" about:"man-minutes a shell, preparation shared, that half of the drawings stay below" unit:"min"`
	MinutesP80 float64   `json:"minutes_p80" about:"man-minutes a shell that four in five of the drawings stay below" unit:"min"`
	ShellP50   float64   `json:"shell_p50" about:"cost a shell that half of the drawings stay below" unit:"money"`
	ShellP80   float64   `json:"shell_p80" about:"cost a shell that four in five of the drawings stay below" unit:"money"`
	BatchP50   float64   `json:"batch_p50" about:"cost of the batch that half of the drawings stay below" unit:"money"`
	BatchP80   float64   `json:"batch_p80" about:"cost of the batch that four in five of the drawings stay below" unit:"money"`
	Curve      []float64 `json:"shell_curve" about:"cost a shell that 10, 20 and so on to 90 % of the drawings stay below" unit:"money"`
	Movers     []Mover   `json:"movers" about:"inputs by what they move, the greatest first; those that move nothing are left out"`
}

// Mover is an input by how far it moves the cost of a shell.
type Mover struct {
	ID     string  `json:"id" about:"key of the shell file"`
	Off    float64 `json:"off" about:"one standard deviation of the value" unit:"per cent"`
	Source string  `json:"source" about:"where that comes from"`
	Low    float64 `json:"low" about:"a shell with this input alone at the cheaper of its 10th and 90th percentile" unit:"money"`
	High   float64 `json:"high" about:"a shell with this input alone at the other" unit:"money"`
}

// Flow is how a batch runs through the stations when each works on its own shell.
type Flow struct {
	Bottleneck        string  `json:"bottleneck" about:"id of the station that takes longest"`
	BottleneckMinutes float64 `json:"bottleneck_minutes" about:"its elapsed time for one shell" unit:"min"`
	ShellsPerWeek     float64 `json:"shells_per_week" about:"all stations busy; 0 when no hours a week are stated" unit:"shells a week"`
	FirstShell        float64 `json:"first_shell_minutes" about:"until the first shell is out" unit:"min"`
	Makespan          float64 `json:"makespan_minutes" about:"until the batch is out, jigs ready" unit:"min"`
	MakespanPrepared  float64 `json:"makespan_prepared_minutes" about:"until the batch is out, changeover and preparation first" unit:"min"`
	Efficiency        float64 `json:"line_efficiency" about:"man-minutes of a shell over crews x bottleneck minutes" unit:"ratio"`
	BalanceDelay      float64 `json:"balance_delay" about:"1 - line efficiency" unit:"ratio"`
	// products at work on the average once all stations are busy (Little's law); what waits between comes on top
	InWork   float64       `json:"in_work" about:"products at work on the average, stations busy; what waits comes on top" unit:"ratio"`
	Stations []StationFlow `json:"stations" about:"by station in the order of work"`
}

// StationFlow is one station's part in the flow.
type StationFlow struct {
	Station string  `json:"station" about:"id of the station"`
	Minutes float64 `json:"minutes" about:"elapsed for one shell" unit:"min"`
	Load    float64 `json:"load" about:"its minutes over the bottleneck's" unit:"ratio"`
}
