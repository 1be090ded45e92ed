// Package shaped gives verdicts by shape and force: of a wheel that passes a frog or a switch point, and of a truck in
// a curve, with what would mend it. A [Computer] is given the rules, the wheels and the places, and fills in what it
// computes; it asks no check's name, but how shapes judge it ([interaction.Passing]).
//
// # Trucks in curves
//
// Every truck of a four-axle car runs through every curve whose gauge was read, either end leading, either side on the
// high rail (neither stands in a sheet): as written, at the worn and at the new end of the readings, on rails as they
// were new, and on damp rails as sensitivity. The two ways with the least margins as written are looked at with all
// ends. Hollow is rounded to 1/2 mm and thickness to 1/8 in, the ends outward, so that wheels nearly alike are laid on
// a rail once. [TruckRun] adds to package curving what a check needs: gauge under load, the bearing left; the curve
// command goes through it too.
//
// Rollover rests on assumed fastenings, so it is judged with the readings as written (as_written.go): a range or a
// bound at its ends, what was not read over what it can be. What readings err makes a truck close by it, and no more.
//
// Two diameters that the wheels of one axle cannot have (half an inch apart), or two flange heights if diameters are
// to be told from these (three quarters), leave nothing of their truck clear: it runs as if they were matched, and one
// of them was misread. Whoever left the reading blank has misread nothing and may be better off; this is the one
// exception to that less knowledge never is.
//
// The verdict is clear only if all runs are, conflict only if all are by the same mechanism (gather). A hollow that was
// not read never gives clear. Wheels that are not hollow, of a truck that is, answer for a truck on new wheels.
// remedies.go tries by itself what would change a printed verdict: turning, a trimmed load, surfacing,
// grease, less speed, gauge.
//
// curve_job.go, truck_job.go and truck_fit.go hold what enters, truck_ways.go the runs, rebuilt.go the shapes, rails
// and flanks that are kept, computer.go what curves, frogs and switches share.
//
// # Blanks that have a meaning
//
// A blank of these leaves a pair clear where something that could be written would not; what it stands for is printed
// with the verdict or in the list of settings used. truck_centers, body, load_imbalance, warp_stiffness: the settings.
// warp_over: 62 ft. axles: as many as wheels are in the sheet. warp: no twist in the forces of a truck; check
// wheel-unloading judges twist, and is not measured without it. face_angle: by tip height alone, and close.
//
// lubricated: dry faces. Grease helps against climb by the published limits, and a truck with it steers less, so a rail
// held by nothing turns sooner: of the 288 pairs of trucks in curves of the sample "ordinary", where no curve has the
// column, 77 would be left open by grease on the high rail, 76 of them by that rail alone, which is assumed. With these
// 4.2 percent of all its pairs were open, of a railroad in good order.
//
// point_worn_down and point_worn_back, both blank: a loss of 5/8 in over 48 in is tried, and makes a clear floor close.
// If it left the pair open, 144 of the 576 pairs of frog-floor in the sample "healthy" without these columns were
// undecided, and 536 in "ordinary": nobody who never looked would be told anything.
//
// # Frogs and switch points
//
// A footing (footing.go) is a wheel made ready: shapes by thickness and hollow, by thickness, vertical flange and
// height, by height, as written and at the ends, each rounded outward to a step, so that wheels nearly alike are
// rebuilt and passed once. What was not read is tried over what it can be.
//
// What shapes give is added to the plain margin, which keeps the readings' own intervals: how the tread stands to the
// plane of the depth (frog-floor: it hardly depends on height and depth), how far this flange, at most a new one, may
// pass the gauge line in place of point_relief (frog-point), what it has less room than a new one at the tip
// (point-pick), what the point holds the outer tread clear (outer-tread). frog-wing compares the climb with that of the
// allowed hollow on conforming tops, point-climb takes the least contact angle.
//
// A frog is passed for each tread and the most play (1/4 in steps, upward), three positions across, tops flat and
// sloped (wing_slope_least, wing_slope_most: no sheet has their form). A place's readings are taken as written, at the
// ends of ranges and go/no-go readings, and with figures for what was not read (unread_... in passage.yaml).
//
// A margin for one form of what is assumed is taken at the worst position: as written (a range or go/no-go reading at
// its worse written end), over what was not read, over all ends. Nothing is clear that the plain rule, which has the
// readings' errors, does not clear. Such a pair is clear if everything keeps passage_allowance; clear and close if one
// form does not fail with the readings as written; else undecided, with the reading or column that decides, or what to
// look at. It is a conflict only if all fails, and of a flange tip only if the plain rule has it too. Frogs without
// sections keep the plain rule and say so. If the shapes find the tread on nothing, or the flange tip over the point,
// nothing is clear. A verdict better than the plain one says so too.
//
// The words of a finding are made when it is printed: forces and dips are computed then.
package shaped
