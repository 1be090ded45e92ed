package survey

// columnText says what each column of the sheets holds.
func columnText(column string) string {
	switch column {
	case "marks":
		return "what was seen, words separated by blanks; none is looked at and nothing seen"
	case "car":
		return "reporting mark and number, written the same way in every sheet"
	case "kind":
		return "freight, locomotive, passenger or steam; blank is unknown and judged by no book of a kind"
	case "owner":
		return "own, foreign or private; blank is own"
	case "gross_lb":
		return "weight on the rail in pounds"
	case "axles":
		return "number of axles"
	case "truck_wheelbase":
		return "axle spacing within one truck"
	case "group":
		return "cars that run together, for traffic"
	case "trips_per_year":
		return "trips a year over this railroad"
	case "note":
		return "anything; for a loaded gauge name the load here"
	case "position":
		return "L1 to L8 or R1 to R8: facing the B end and numbered from the B end; L1 and R1 are one axle"
	case "date":
		return "YYYY-MM-DD; older rows of the same thing are its history and the newest row is the reading"
	case "flange_height":
		return "tape line to flange tip; go/no-go as <1-1/2 or >=1-1/2, full or scant as 1-1/4+ or 1-1/4-"
	case "flange_thickness":
		return "3/8 in above the tread, back to face; a notch that did not touch is >15/16"
	case "vertical_flange":
		return "the height above the tread to which the flange face is vertical; touched at 1 in is >=1, not touched is <1"
	case "rim_thickness":
		return "rim thickness at the tape line"
	case "tread_hollow":
		return "greatest depth under a straight edge from the field side, in mm without a unit"
	case "back_to_back":
		return "between the flange backs: the least of the places read; on either row of the axle"
	case "back_to_back_max":
		return "the greatest of the places read"
	case "diameter":
		return "at the tape line"
	case "rim_width":
		return "back face to front face of the rim"
	case "design":
		return "a wheel design known to the program"
	case "location":
		return "name of the place, written the same way in every sheet"
	case "frog", "switch", "curve", "joint", "spot":
		return "its id, once on the railroad"
	case "number":
		return "frog number, such as 8"
	case "type":
		return "bolted, rbm, solid, heavy-point, self-guarded, spring or flange-bearing; blank is none of the special ones"
	case "track_class":
		return "excepted or 1 to 5; blank is the railroad's"
	case "speed_mph":
		return "speed at the place; blank is the railroad's"
	case "gauge":
		return "track gauge 5/8 in below the top of rail, as 56-1/2 or 4' 8-1/2\""
	case "loaded_gauge":
		return "the same under the load that the note names"
	case "holding":
		return "good, fair or poor: what ties and fastenings hold; blank is fair"
	case "flangeway_depth":
		return "straight edge across the tread to the floor: the least of throat, point and 6 in behind"
	case "flangeway_width":
		return "between wing and point at the gauge line"
	case "guard_check":
		return "frog gauge line to guard line, at the 1/2 in point; of a self-guarded frog, to its guarding face"
	case "guard_face":
		return "between the guard lines, at the 1/2 in point"
	case "guard_flangeway":
		return "between guard rail and running rail"
	case "tread_wear":
		return "of the frog casting, below its original contour"
	case "point_worn_down", "point_worn_back":
		return "of the frog point: how far down, and how far back from the tip"
	case "direction":
		return "facing, trailing or both; blank is both"
	case "point_gap":
		return "between closed point and stock rail"
	case "point_drop":
		return "top of the point below the top of the stock rail at the first full-bearing station"
	case "point_thickness":
		return "of the point at its tip"
	case "chip_depth":
		return "top of the point below the top of the stock rail at the deepest chip within chip_length; none where there is no chip"
	case "chip_length":
		return "length of the chip"
	case "face_angle":
		return "shallowest face angle of point or stock rail in the first 2 ft, degrees from horizontal"
	case "stock_rail_wear":
		return "side wear of the stock rail at the point"
	case "undercut":
		return "depth of the recess under the stock rail's head"
	case "open_clearance":
		return "narrowest stock rail to open point, not the throw"
	case "heel_rise":
		return "rise of the point rail where the tread leaves the stock rail"
	case "degree":
		return "of the curve: 6.5, 6 deg 30, D6-30, R 955', or the mid-ordinate of a 62 ft cord as 62ft 6-1/4"
	case "elevation":
		return "of the outer rail; negative where it is the lower one"
	case "rail":
		return "rail section, such as 115RE"
	case "head_wear":
		return "vertical, at the centre of the head"
	case "gauge_face_wear":
		return "side wear at the gauge face"
	case "gauge_face_angle":
		return "of the worn gauge face, degrees from horizontal"
	case "rail_cant":
		return "1:40, 1:20 or none"
	case "lubricated":
		return "high, low, both or none"
	case "warp":
		return "greatest difference in crosslevel between two points up to 62 ft apart"
	case "warp_over":
		return "the distance over which warp was read, whole feet from 1 to 100; blank is 62"
	case "warp_short":
		return "greatest difference in crosslevel within 10 ft"
	case "crosslevel":
		return "left rail over right rail, negative where the left one is low"
	case "crosslevel_least":
		return "least crosslevel within the curve, where elevation is that of its full body; negative is reverse"
	case "guard_rail":
		return "yes or no: a guard rail along it"
	case "condition":
		return "good, worn or poor, as judged by eye"
	case "turned":
		return "YYYY-MM-DD: when the wheel was last turned"
	case "profile":
		return "name of a file of traced x, y beside the sheet"
	case "service":
		return "of a locomotive: road or yard; blank is unknown"
	case "truck_centers":
		return "distance between the truck centers"
	case "body":
		return "stiff, ordinary or soft: how it gives way on twisted track; blank is as the settings have it"
	case "load_imbalance":
		return "by how many percent the heavier side of a truck carries more than half"
	case "warp_stiffness":
		return "new or worn: how the trucks hold square; blank is as the settings have it"
	case "bar_depth":
		return "present top of rail to the highest part of the bar at the gauge side"
	}
	return ""
}
