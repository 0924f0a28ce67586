package layout

func planFields() []entry {
	return []entry{
		{"Plan.Format", none, "number of this format", nil},
		{"Plan.Shell", none, "what is built", nil},
		{"Plan.Panels", none, "pressed parts in their places", nil},
		{"Plan.Subassemblies", none, "the tree of sub-assemblies", nil},
		{"Plan.Stations", none, "jigs in the order of work", nil},
		{"Plan.Joints", none, "panels to be welded together", nil},
		{"Plan.Flanges", none, "strips where sheets lie on each other", nil},
		{"Plan.Runs", none, "stretches welded with one gun, tip and setting without a break", nil},
		{"Plan.Welds", none, "spots, by station and then number", nil},
		{"Plan.Rollers", none, "roller seams", nil},
		{"Plan.Guns", none, "guns that the plan uses", nil},
		{"Plan.Tips", none, "tips that the plan uses", nil},
		{"Plan.Settings", none, "starting settings by stack-up, to be proved by test before use", nil},
		{"Plan.Findings", none, "rules broken or kept in doubt, and notes", nil},
		{"Plan.Labour", none, "time for one shell", nil},
		{"Plan.Cost", none, "money for one shell and for the batch", nil},
		{"Plan.Flow", none, "how the batch runs through the stations", nil},
		{"Plan.Notes", none, "what was read, mended, skipped or assumed", nil},

		{"Shell.Name", none, "name of the shell; title in the title block", nil},
		{"Shell.Number", none, "identification number of the map set (ISO 7200)", nil},
		{"Shell.Revision", none, "revision index (ISO 7200)", nil},
		{"Shell.Batch", none, "shells in one batch", nil},
		{"Shell.Owner", none, "legal owner (ISO 7200)", nil},
		{"Shell.Creator", none, "creator (ISO 7200)", nil},
		{"Shell.Approver", none, "approval person (ISO 7200)", nil},
		{"Shell.Issued", none, "date of issue as stated in the shell file (ISO 7200)", nil},
		{"Shell.Input", none, "SHA-256 of the shell file and of every file that it names", nil},

		{"Finding.Rule", none, "the rule that was checked", nil},
		{"Finding.Severity", none, "broken: the plan must not be used so; doubt: look at it; note: worth knowing", []string{Broken, Doubt, Note}},
		{"Finding.Where", none, "station, joint, flange or weld", nil},
		{"Finding.Value", stated, "what was found", nil},
		{"Finding.Limit", stated, "what the rule allows", nil},
		{"Finding.Unit", none, "unit of value and limit", nil},
		{"Finding.Source", none, "where the rule comes from", nil},
		{"Finding.Remedy", none, "what to do about it", nil},
		{"Finding.At", millimetre, "place in the shell's frame", nil},
	}
}

func sheetFields() []entry {
	return []entry{
		{"Panel.ID", none, "id in the shell file", nil},
		{"Panel.Name", none, "name in words", nil},
		{"Panel.Steel", none, "id of its steel", nil},
		{"Panel.Grade", none, "steel grade", nil},
		{"Panel.Thickness", millimetre, "nominal sheet thickness", nil},
		{"Panel.Coating", none, "none, or an EN 10346 designation", nil},
		{"Panel.Surface", none, "what the mesh shows of the sheet", nil},
		{"Panel.Triangles", none, "triangles of its mesh", nil},
		{"Panel.Area", squareMM, "area of one side", nil},
		{"Panel.Mass", kilogram, "mass", nil},
		{"Panel.Box", millimetre, "least and greatest corner in the shell's frame", nil},
		{"Panel.Station", none, "id of the station where it arrives", nil},
		{"Panel.Warnings", none, "what looked wrong when it was read", nil},

		{"Subassembly.ID", none, "id in the shell file", nil},
		{"Subassembly.Name", none, "name in words", nil},
		{"Subassembly.Parts", none, "ids of panels and sub-assemblies", nil},

		{"Flange.ID", none, "id", nil},
		{"Flange.Joint", none, "id of its joint; empty: found, but in no joint", nil},
		{"Flange.Panels", none, "ids of its sheets in stack order along the normals", nil},
		{"Flange.Closed", none, "whether the strip closes on itself", nil},
		{"Flange.Patch", none, "whether it is a patch rather than a strip", nil},
		{"Flange.Length", millimetre, "length of the weld line", nil},
		{"Flange.Width", millimetre, "width across the weld line", nil},
		{"Flange.Gap", millimetre, "gap between facing sheet surfaces", nil},
		{"Flange.Area", squareMM, "area of the strip", nil},
		{"Flange.WeldLine", millimetre, "points of the weld line in the shell's frame", nil},
		{"Flange.Normals", direction, "sheet normal at each point of the weld line", nil},
		{"Flange.Outline", millimetre, "loops round the strip", nil},

		{"Range.Least", millimetre, "least", nil},
		{"Range.Mean", millimetre, "mean", nil},
		{"Range.Greatest", millimetre, "greatest", nil},
	}
}

func stationFields() []entry {
	return []entry{
		{"Station.ID", none, "id in the shell file", nil},
		{"Station.Name", none, "name in words", nil},
		{"Station.Jig", none, "the jig", nil},
		{"Station.Crew", none, "people at work at once", nil},
		{"Station.Makes", none, "id of the sub-assembly that leaves it; empty: the shell", nil},
		{"Station.Arrives", none, "ids of the panels and sub-assemblies that are loaded, in loading order", nil},
		{"Station.Present", none, "ids of the panels in the jig, those within arriving sub-assemblies included", nil},
		{"Station.Guns", none, "ids of the guns at hand", nil},
		{"Station.Clamps", none, "clamps of the jig", nil},
		{"Station.Dowels", none, "dowels of the jig", nil},
		{"Station.HoldPoints", none, "gauges and dimensions that must be right before the next weld", nil},
		{"Station.Steps", none, "order of work", nil},
		{"Station.Welds", none, "spots made here on one shell", nil},
		{"Station.Minutes", minute, "elapsed at the jig for one shell, with the whole crew", nil},

		{"Fixture.ID", none, "id", nil},
		{"Fixture.At", millimetre, "place in the shell's frame", nil},
		{"Fixture.Radius", millimetre, "radius that no weld may enter", nil},
		{"Fixture.Release", none, "tacks: a clamp opened once its joints are tacked; end: one that stays shut", nil},

		{"HoldPoint.ID", none, "id", nil},
		{"HoldPoint.Text", none, "what is gauged", nil},
		{"HoldPoint.Before", none, "id of the joint that waits for it; empty: the station's first weld", nil},
		{"HoldPoint.Value", millimetre, "wanted dimension", nil},
		{"HoldPoint.Tolerance", millimetre, "allowed either way", nil},
		{"HoldPoint.At", millimetre, "one end of the dimension", nil},
		{"HoldPoint.To", millimetre, "its other end", nil},

		{"Step.Do", none, "kind of work", []string{"load", "peg", "clamp", "gauge", "tack", "release", "fill", "roll", "inspect", "lift out"}},
		{"Step.Text", none, "the step in words", nil},
		{"Step.Runs", none, "ids of the runs welded in it", nil},
	}
}

func jointFields() []entry {
	return []entry{
		{"Joint.ID", none, "id", nil},
		{"Joint.Name", none, "name in words", nil},
		{"Joint.Panels", none, "ids of the panels that it joins", nil},
		{"Joint.Kind", none, "how it is welded", []string{"spot", "roller", "spot+roller"}},
		{"Joint.Found", none, "whether the program found it rather than the shell file stating it", nil},
		{"Joint.Station", none, "id of its station; empty: its panels never meet", nil},
		{"Joint.Flanges", none, "ids of its flanges", nil},
		{"Joint.Welds", none, "number of spots", nil},
		{"Joint.Length", millimetre, "length of its weld lines", nil},
		{"Joint.Shear", none, "in the plane of the sheets", nil},
		{"Joint.Tension", none, "pulling the sheets apart", nil},
		{"Joint.Minutes", minute, "man-minutes on one shell", nil},

		{"Strength.Capacity", newton, "what it carries", nil},
		{"Strength.Demand", newton, "what it must carry", nil},
		{"Strength.Utilisation", ratio, "demand over capacity; 0 when nothing is asked", nil},
		{"Strength.Source", none, "rule that gives the capacity", nil},

		{"Roller.ID", none, "id", nil},
		{"Roller.Station", none, "id of its station", nil},
		{"Roller.Joint", none, "id of its joint", nil},
		{"Roller.Flange", none, "id of its flange", nil},
		{"Roller.Roller", none, "id of the roller", nil},
		{"Roller.Setting", none, "id of the setting", nil},
		{"Roller.Path", millimetre, "points of the seam in the shell's frame", nil},
		{"Roller.Normals", direction, "sheet normal at each point", nil},
		{"Roller.Closed", none, "whether the seam closes on itself", nil},
		{"Roller.Length", millimetre, "length of the seam", nil},
		{"Roller.Speed", mmPerSecond, "rolling speed", nil},
		{"Roller.Time", second, "rolling time", nil},
		{"Roller.After", none, "number of the last weld that must be made before it", nil},
	}
}

func weldFields() []entry {
	return []entry{
		{"Run.ID", none, "id", nil},
		{"Run.Station", none, "id of its station", nil},
		{"Run.Joint", none, "id of its joint", nil},
		{"Run.Flange", none, "id of its flange", nil},
		{"Run.From", none, "number of its first weld", nil},
		{"Run.To", none, "number of its last weld", nil},
		{"Run.Count", none, "number of welds", nil},
		{"Run.Pitch", millimetre, "between neighbours along the weld line, whatever was welded before; zeros for a single weld", nil},
		{"Run.Gun", none, "id of the gun", nil},
		{"Run.Tip", none, "id of the tip", nil},
		{"Run.Setting", none, "id of the setting", nil},
		{"Run.Step", none, "when it is welded", weldSteps()},
		{"Run.Minutes", minute, "man-minutes on one shell", nil},

		{"Weld.Number", none, "in welding order within the station, from 1", nil},
		{"Weld.Station", none, "id of its station", nil},
		{"Weld.Joint", none, "id of its joint", nil},
		{"Weld.Flange", none, "id of its flange", nil},
		{"Weld.Run", none, "id of its run", nil},
		{"Weld.Position", millimetre, "centre in the shell's frame", nil},
		{"Weld.Axis", direction, "direction of the electrode force, normal to the sheets", nil},
		{"Weld.Along", millimetre, "from the start of the flange's weld line", nil},
		{"Weld.Sheets", none, "ids of the panels that it joins, in stack order", nil},
		{"Weld.WeldDiameter", millimetre, "wanted weld diameter", nil},
		{"Weld.Gun", none, "id of the gun; empty: none reaches", nil},
		{"Weld.Tip", none, "id of the tip; empty: none reaches", nil},
		{"Weld.Turn", degree, "about the axis, from the weld line to the gun's throat", nil},
		{"Weld.Setting", none, "id of the setting", nil},
		{"Weld.Step", none, "tack, fill, or released: welded once a clamp is off", weldSteps()},
		{"Weld.Waits", none, "why it is not earlier; empty when it need not wait", nil},
		{"Weld.Shear", newton, "design resistance in shear", nil},
		{"Weld.Tension", newton, "design resistance in tension", nil},
	}
}

func weldSteps() []string { return []string{"tack", "fill", "released"} }

func toolFields() []entry {
	return []entry{
		{"Gun.ID", none, "id in the shell file", nil},
		{"Gun.Letter", none, "one or two letters for maps", nil},
		{"Gun.Name", none, "name in words", nil},

		{"Tip.ID", none, "id in the shell file", nil},
		{"Tip.Name", none, "name in words", nil},
		{"Tip.Shape", none, "shape of the electrode face", nil},
		{"Tip.Face", millimetre, "diameter or width of the face", nil},
		{"Tip.Dress", none, "welds between dressings", nil},

		{"Setting.ID", none, "id: S and a number for spots, R and a number for rollers", nil},
		{"Setting.Kind", none, "what it sets", []string{"spot", "roller"}},
		{"Setting.Stack", none, "the sheets in words", nil},
		{"Setting.Force", newton, "electrode force", nil},
		{"Setting.Current", ampere, "welding current", nil},
		{"Setting.Squeeze", second, "squeeze time", nil},
		{"Setting.Weld", second, "weld time; on time of a roller", nil},
		{"Setting.Hold", second, "hold time; off time of a roller", nil},
		{"Setting.Face", millimetre, "electrode face; wheel width of a roller", nil},
		{"Setting.Speed", mmPerSecond, "rolling speed", nil},
		{"Setting.Pitch", millimetre, "between a roller's nuggets", nil},
		{"Setting.Source", none, "table that it comes from", nil},
		{"Setting.Note", none, "what to know before use", nil},
	}
}

func labourFields() []entry {
	return []entry{
		{"Labour.ManMinutesPerShell", minute, "man-minutes on one shell of the batch's average: the sum of the lines", nil},
		{"Labour.PrepareMinutes", minute, "jig preparation for the batch", nil},
		{"Labour.RollerMetres", metre, "roller seams on one shell", nil},
		{"Labour.Welds", none, "spots on one shell", nil},
		{"Labour.Stations", none, "by station", nil},
		{"Labour.Subassemblies", none, "by sub-assembly, with those that it is made of", nil},
		{"Labour.Joints", none, "by joint", nil},
		{"Labour.Lines", none, "man-seconds a shell, piece by piece", nil},
		{"Labour.Factors", none, "allowances and other factors on time", nil},

		{"StationLabour.Station", none, "id of the station", nil},
		{"StationLabour.Name", none, "name in words", nil},
		{"StationLabour.Crew", none, "people at work at once", nil},
		{"StationLabour.ManMinutes", minute, "man-minutes on one shell, allowances included", nil},
		{"StationLabour.Minutes", minute, "elapsed for one shell: man-minutes over crew", nil},
		{"StationLabour.Weld", minute, "man-minutes at spots", nil},
		{"StationLabour.Roll", minute, "man-minutes at roller seams", nil},
		{"StationLabour.Handling", minute, "man-minutes at everything else", nil},
		{"StationLabour.RollerMetre", metre, "roller seams on one shell", nil},
		{"StationLabour.Welds", none, "spots on one shell", nil},
		{"StationLabour.Prepare", minute, "man-minutes of jig preparation for the batch", nil},
		{"StationLabour.Cost", money, "a shell, jig preparation shared over the batch", nil},

		{"PartLabour.ID", none, "id of the joint or sub-assembly", nil},
		{"PartLabour.ManMinutes", minute, "man-minutes on one shell", nil},
		{"PartLabour.Welds", none, "spots on one shell", nil},
		{"PartLabour.RollerMetre", metre, "roller seams on one shell", nil},
		{"PartLabour.Cost", money, "a shell", nil},

		{"Line.What", none, "the work or the thing bought", nil},
		{"Line.Station", none, "id of the station; empty: the whole shell", nil},
		{"Line.Joint", none, "id of the joint; empty: the whole station", nil},
		{"Line.Element", none, "key of the shell file that each comes from; empty: calculated", nil},
		{"Line.Quantity", stated, "how many", nil},
		{"Line.Unit", none, "unit of the quantity", nil},
		{"Line.Each", timeOrMoney, "for one", nil},
		{"Line.Total", timeOrMoney, "for one shell; lines add up exactly", nil},
		{"Line.From", none, "the inputs that it follows from", nil},

		{"Factor.Name", none, "the factor", nil},
		{"Factor.Value", ratio, "its value", nil},
		{"Factor.Source", none, "where it comes from", nil},

		{"Cost.Currency", none, "ISO 4217 code", nil},
		{"Cost.Batch", none, "shells in the batch", nil},
		{"Cost.MinutesPerShell", minute, "man-minutes a shell, jig preparation shared over the batch", nil},
		{"Cost.CostPerShell", money, "the sum of the lines", nil},
		{"Cost.CostPerBatch", money, "cost a shell times the batch", nil},
		{"Cost.RollerMetresPerShell", metre, "roller seams on one shell", nil},
		{"Cost.Lines", none, "money a shell, piece by piece", nil},

		{"Flow.Bottleneck", none, "id of the station that takes longest", nil},
		{"Flow.BottleneckMinutes", minute, "its elapsed time for one shell", nil},
		{"Flow.ShellsPerWeek", perWeek, "once all stations are busy; 0 when no hours a week are stated", nil},
		{"Flow.FirstShell", minute, "until the first shell is out", nil},
		{"Flow.Makespan", minute, "until the batch is out, jigs ready", nil},
		{"Flow.MakespanPrepared", minute, "until the batch is out, each crew preparing its jig first", nil},
		{"Flow.Stations", none, "by station in the order of work", nil},

		{"StationFlow.Station", none, "id of the station", nil},
		{"StationFlow.Minutes", minute, "elapsed for one shell", nil},
		{"StationFlow.Load", ratio, "its minutes over the bottleneck's", nil},
	}
}
