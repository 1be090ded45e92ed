// Package plan turns the findings of a survey into decisions: how often each conflict is met, the cheapest set of
// repairs, turnings and holds that removes them, what a budget removes, what to measure next and when limits are
// reached. Pairs are judged by the engine of the run. Money is in hundredths of the survey's currency, crew days in
// thousandths, lengths in mm.
//
// # Horizon
//
// A cost is that of a horizon of years: what is yearly is paid every year, any other work as often as its life ends
// within it (costs.yaml; lives are assumed). Nothing is discounted, and crew days are those of the first time.
//
// Of an assumed price that decides it is told between which prices the plan is proven to stay the cheapest: the network
// is solved anew at other prices, with every option in play again (price_range.go).
//
// # How a plan is found
//
// place_work.go and car_work.go list the works on each place and axle, each with every reading that it sets: a guard
// rail that moves changes guard check, guard face and guard flangeway; regauging takes the guard rail along; a wider
// flangeway comes off the guard face; turning gives height, thickness, vertical, hollow and rim. Cars of others are
// worked on only if the interchange set condemns.
//
// Point guards are offered where shapes are computed, because no plain rule knows them. Wheelsets swapped between two
// cars are not: they would tie the options of both together, for a gain only where one does not go to the place.
//
// A pair before the work has the engine's verdict, computed unless the run is plain. Every option of a place gets a row
// for each check (row.go): against every wheel option, as the written value will be read, and with all that may be read
// within the tolerance of the work (costs.yaml), each with its own error. [Action.Window] is where all promises hold.
// A treated pair that is not clear in both is bad (a truck in a curve may be undecided if conflicts alone are treated,
// see ends); one that ends below its old verdict in either is worse. Both are bit sets of wheel options; options of a
// place with the same share of the margin and the same sections share the row. By plain rules a row is known at once.
// By shapes or forces it says what must be bad or worse whatever they say (Engine.AtBest), until the engine is asked
// (learn), which takes other wheels and features through the code of the table with the shapes, flanks, passages and
// runs that are solved already. Trucks in curves are judged with the works on both axles (truck.go).
//
// prune takes out options that another one is never worse than, as far as is known; after each answer it begins again
// from all options. The lathe and the engine are slow, so they are asked only about what a solution wants (settle). Of
// a car that is known to leave something at a place no more is asked, because it is held off there. A rim that does not
// hold takes the option out; if the engine finds something bad or worse that had not been counted the choice is made
// again. A work that was not asked about yet does all that it may do, so every bound stays a bound, and the choice that
// the engine confirms is proven by it.
//
// The combinations of a car's axles are made axle by axle, a truck that is judged as one at a time, and only those are
// left out that another one is never worse than (axle_sets.go); if too many are left, some are joined, and the bound is
// then that of the network with the joined ones.
//
// Readings beyond a regulation are answered by every choice (federal.go): an option of a place or an axle that leaves
// one is taken out before anything else, so the optimum and its bound count both. What a rule allows besides a repair
// (its remedy in configs/limits) is an option like others: a lower speed or class is judged with its speed; a car left
// out of service meets no place, and in the cut pays through a node of its own. With limits of money the cheapest
// choice that answers all is what nobody spends less than.
//
// assemble makes the choice a network: one option for each place, one combination of axle options for each car, and for
// each pair of them the price of a hold if something bad or worse is left. Closing a place is an option that leaves
// nothing, so there is always a plan.
//
// solve removes options by pairwise comparison, splits the network into independent parts and solves each. A part in
// which the options of every place and axle form ladders, so that no work makes a pair worse, and in which one hold
// answers to one rung, is a minimum cut (cut.go), certified by the flow. The others go to branch and bound; the bound
// is the linear relaxation approached from below by moving prices between edges and nodes, and any state of it is a
// valid bound. Costs are whole multiples of their greatest common divisor, and the bound is rounded up to one. Limits
// of work are counted, not timed.
//
// With limits (budget.go) each pair weighs its expected conflicting passes a year. Money and days get a price; the
// network at any price gives a bound on what any plan within the limits leaves, and where that leaves a gap the choices
// are divided, each part with a price of its own (narrow.go). The plan is chosen among works that lie along the lower
// hull of spending and passes, on ladders, by knapsacks and by the same division between its corners, each with its
// best holds (frontier.go); they are the same whatever the limits, so that more money never leaves more and a further
// limit never fewer. With at most 40 candidates branch and bound goes on to the end. cheapen then looks for the
// cheapest plan that leaves no more: that is the lower bound under a budget. The cost curve is the same network at a
// range of prices.
//
// [Plan.Placings] ranks places, features and wheels before and after the plan by the verdicts that it counts.
//
// # What is open
//
// [Defects] are the readings beyond a regulation, [UpdateLog] goes on with defects.csv, [Since] compares two surveys. A
// defect is opened by the first of the dated rows, up to the newest, that are all beyond the rule; it is closed by a
// reading of a later day that is within, and by nothing else: not by a class that was lowered, a row that is gone, a
// go/no-go reading that leaves it open, or a mark in the sheet. A conflict likewise, by a later row of the place or of
// every wheel that was in it.
//
// # Dates
//
// [WearRates] draws a line through the dated rows of each reading that tells wear (the columns say which, and what is
// repaired together) since the last repair, and dates limits and first conflicts by inverse prediction (trend.go). A
// repair that one reading shows, or a turning, ends the history of its part (history.go). A conflict is dated with all
// that wears on both sides (first_conflict.go). Rows closer together than the setting wear_span tell no rate.
//
// # Chance and rank
//
// The probability of a conflict takes readings as uniform in their intervals: closed form for sums, 400 seeded draws
// for the checks that say so (Sampled). A pair that is undecided by what was computed alone has the part of the
// computed range under zero, the range taken wider by what clear and conflict ask for (0 if it gets clear, 1 if it gets
// a conflict); without a range one half, and the page says so.
//
// [Risks] ranks the places by their own verdicts: conflict, beyond a federal limit, undecided, not measured, clear; and
// among alike by expected harm (harm.go): passes, times how many of them end in an accident, times what an accident of
// the check costs at the speed. The last two are assumed ranges; 1,000 seeded draws of them tell how often the first
// place is the first. The range of harm that is told counts every pair that is not clear in full in its middle and at
// its most, because less knowledge may not lower it. Where the railroad keeps a log of accidents (incidents) all of it
// is multiplied by what happened against what was expected (loggedAt); the order of grades stays.
package plan
