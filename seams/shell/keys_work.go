package shell

func stationKeys() []Key {
	at := func(name, meaning string, required bool) Key {
		return Key{Name: name, Meaning: meaning, Unit: "mm", Required: required, Least: -far, Greatest: far}
	}
	return []Key{
		{Name: "stations[].id", Meaning: "name within this file and on maps", Required: true},
		{Name: "stations[].name", Meaning: "longer name; left out: the id"},
		{Name: "stations[].jig", Meaning: "the jig's number or name"},
		{Name: "stations[].crew", Meaning: "people at work at once", Default: 1, Least: 1, Greatest: 50, Source: Choice},
		{Name: "stations[].makes", Meaning: "id of the sub-assembly that leaves the station; left out: the shell itself"},
		{Name: "stations[].arrives", Meaning: "ids of panels and sub-assemblies in loading order; left out: the parts of what is made, or all " +
			"panels at an only station"},
		{Name: "stations[].guns[].id", Meaning: "id of a gun at hand", Required: true},
		{Name: "stations[].guns[].count", Meaning: "how many such guns are at hand, and so how many people can use one at once; an " +
			"id alone in the list stands for one, and the list left out for one of each gun", Default: 1, Least: 1, Greatest: 50, Source: Choice},
		{Name: "stations[].rollers", Meaning: "ids of the rollers at hand; left out: all"},
		{Name: "stations[].prepare_min", Meaning: "getting the jig ready for a batch, in man-minutes, beside other work", Unit: "min",
			Default: 60.0, Least: 0, Greatest: 100_000, Source: Practice},
		{Name: "stations[].changeover_min", Meaning: "turning the station over from another model, in man-minutes, while it stands", Unit: "min",
			Least: 0, Greatest: 100_000},

		{Name: "stations[].clamps_open", Meaning: "after the tacks all clamps that may open are opened together, or one by one, each with the " +
			"welds under it made before the next", Default: "together", Words: []string{"together", OneByOne}, Source: Choice},

		{Name: "stations[].clamps[].id", Meaning: "name within the station; left out: C1, C2 …"},
		at("stations[].clamps[].at_mm", "middle of the clamp's pad", true),
		{Name: "stations[].clamps[].radius_mm", Meaning: "reach of pad and arm round it, where no weld fits", Unit: "mm", Default: 25.0,
			Least: 1, Greatest: 1000, Source: Practice},
		{Name: "stations[].clamps[].release", Meaning: "opened once its joints are tacked, or shut until the end", Default: "tacks",
			Words: []string{"tacks", "end"}, Source: Choice},
		{Name: "stations[].dowels[].id", Meaning: "name within the station; left out: D1, D2 …"},
		at("stations[].dowels[].at_mm", "middle of the dowel", true),
		{Name: "stations[].dowels[].radius_mm", Meaning: "the dowel with its bush", Unit: "mm", Default: 8.0, Least: 0.5, Greatest: 500,
			Source: Practice},

		{Name: "stations[].hold_points[].id", Meaning: "name within the station; left out: H1, H2 …"},
		{Name: "stations[].hold_points[].text", Meaning: "what must be right, in words", Required: true},
		{Name: "stations[].hold_points[].before", Meaning: "ids of what waits: joints, sub-assemblies or panels (the joints that fix " +
			"them), or tacks; one may stand without brackets; left out: the joints that would fix what it measures, found from the panels that " +
			"its ends lie on, else the station's first weld"},
		{Name: "stations[].hold_points[].kind", Meaning: "a gauge that fits, a dimension, or a dimension within tolerance_mm of that of " +
			"another hold point; left out: a dimension where value_mm is given, else a gauge", Words: []string{Gauge, Dimension, Symmetry}},
		{Name: "stations[].hold_points[].with", Meaning: "of a symmetry: id of the hold point of this station whose dimension it is " +
			"compared with"},
		{Name: "stations[].hold_points[].value_mm", Meaning: "the dimension", Unit: "mm", Least: 0, Greatest: far},
		{Name: "stations[].hold_points[].tolerance_mm", Meaning: "off it either way", Unit: "mm", Least: 0, Greatest: 1000},
		at("stations[].hold_points[].at_mm", "where the gauge goes, or one end of the dimension", true),
		at("stations[].hold_points[].to_mm", "the dimension's other end; left out: at_mm", false),

		{Name: "stations[].work[].id", Meaning: "name within the station of work that is no welding", Required: true},
		{Name: "stations[].work[].name", Meaning: "what is done, in words; left out: the id"},
		{Name: "stations[].work[].before", Meaning: "ids of what waits for it: joints, parts, hold points or other work of the " +
			"station, or tacks"},
		{Name: "stations[].work[].after", Meaning: "ids of what it waits for, of the same kinds; neither given: done before the work is looked " +
			"over"},
		{Name: "stations[].work[].crew", Meaning: "how many people do it together", Default: 1, Least: 1, Greatest: 50, Source: Choice},
		{Name: "stations[].work[].time_min", Meaning: "how long they take on one shell of the batch; allowances come on top, practice does not",
			Unit: "min", Required: true, Least: 0, Greatest: 10_000},
		{Name: "stations[].work[].source", Meaning: "where the time comes from"},
	}
}

func jointKeys() []Key {
	return append([]Key{
		{Name: "joints[].id", Meaning: "name within this file and on maps", Required: true},
		{Name: "joints[].name", Meaning: "longer name; left out: the id"},
		{Name: "joints[].panels", Meaning: "ids of the panels welded together, at least two", Required: true},
		{Name: "joints[].kind", Meaning: "spots, a roller seam, or spots and then a roller seam", Default: "spot",
			Words: []string{"spot", "roller", "spot+roller"}, Source: Choice},
		{Name: "joints[].station", Meaning: "id of the station; left out: the first where all its panels are"},
		{Name: "joints[].pitch_mm", Meaning: "greatest pitch wanted; 0: the rule's", Unit: "mm", Least: 5, Greatest: 1000, OrZero: true},
		{Name: "joints[].count", Meaning: "welds wanted on the whole joint; 0: as pitch and load ask", Least: 0, Greatest: 100_000},
		{Name: "joints[].load.shear_n", Meaning: "design force in the plane of the sheets, over the whole joint", Unit: "N", Least: 0,
			Greatest: 1e8},
		{Name: "joints[].load.flow_n_per_mm", Meaning: "design shear flow", Unit: "N/mm", Least: 0, Greatest: 1e5},
		{Name: "joints[].load.tension_n", Meaning: "design force that pulls the sheets apart, over the whole joint", Unit: "N", Least: 0,
			Greatest: 1e8},
		{Name: "joints[].load.direction", Meaning: "way that shear and flow act: along the row of welds or across it; left out: judged both ways",
			Words: []string{Along, Across}},
		{Name: "joints[].keep_outs[].at_mm", Meaning: "middle of a ball without welds", Unit: "mm", Required: true, Least: -far, Greatest: far},
		{Name: "joints[].keep_outs[].radius_mm", Meaning: "radius of the ball", Unit: "mm", Required: true, Least: 0.1, Greatest: 10_000},
		{Name: "joints[].keep_outs[].why", Meaning: "reason, shown on the map"},
		{Name: "joints[].weld_line.file", Meaning: "DXF or CSV file that draws the weld line, relative to the shell file; left out: the line " +
			"is found"},
		{Name: "joints[].weld_line.layer", Meaning: "layer in it; left out: all layers"},
		{Name: "joints[].weld_line.unit", Meaning: "unit of the file; left out: the shell's", Words: units()},
		{Name: "joints[].weld_line.width_mm", Meaning: "width of the flange along an open line; 0: the file holds closed outlines", Unit: "mm",
			Least: 2, Greatest: 500, OrZero: true},
	}, append(placeKeys("joints[].weld_line.place"), []Key{
		{Name: "joints[].near_mm", Meaning: "x, y, z, radius: only flanges that pass this ball belong to the joint", Unit: "mm", Least: -far,
			Greatest: far},
		{Name: "joints[].tack_every_mm", Meaning: "distance between tacks; 0: the rule's", Unit: "mm", Least: 10, Greatest: 5000, OrZero: true},
		{Name: "joints[].fill", Meaning: "how the welds between the tacks are gone through, to keep distortion down: from the middle " +
			"outwards, every second and then the others, or from end to end", Default: "middle-out", Words: []string{"middle-out", "skips",
			"through"}, Source: Choice},
		{Name: "joints[].tack_order", Meaning: "how its tacks are gone through, to keep the sheets where they lie: opposite quarters of a " +
			"closed line by turns; from the middle of an open line outwards; from the end at the nearest dowel on; from end to end. Left out: " +
			"quarters on a closed line, middle-first on an open one", Words: []string{"quarters", "middle-first", "datum-first", "through"}},
		{Name: "joints[].gun", Meaning: "id of the gun that its spots are welded with, at hand at its station; left out: what reaches best"},
		{Name: "joints[].tip", Meaning: "id of the tip that they are welded with, one that fits the gun; left out: what reaches best"},
		{Name: "joints[].setting_table", Meaning: "published table that their settings start from; left out: rules.setting_table",
			Words: settingTables()},
	}...)...)
}
