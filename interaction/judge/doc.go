// Package judge judges the pairs of a survey: every wheel against every feature to which a check applies.
//
// Steps of a run: [New] prepares the parts of every wheel and every place; [Engine.Compute] lays over them what shapes
// and forces say, if that is asked for; [Engine.Judge] walks over all pairs once and keeps counts and the worst pair of
// each check and feature; [Engine.EachPair] walks again for a caller who wants every pair. A [Finding] is one pair
// explained: whose fault it is, what settles it, what mends it.
//
// # Cause
//
// A reference wheel of configs (new narrow, new wide, ordinary worn) that conflicts makes the cause the place; a wheel
// that conflicts even on the track as designed makes it the wheel; else it is the pair. Both are judged by the run's
// own judge, for each wheel and place alone: the cars in the sheet do not vote, and no view changes a cause.
//
// # What settles
//
// Each entry of settle_by of an undecided pair decides it by itself for something that the reading can be, if the
// others stay as they are; readings that decide only together are one entry, "a and b". By the plain rule they follow
// from what each reading leaves open: those that stand for something that was not read at all (an allowance), else the
// widest. Of what shapes or forces have judged, the worst of the pairs that are alike is judged again with readings
// known (settle.go), when somebody asks. If no reading of the sheets decides, [Finding.LookAt] says so and what to look
// at.
//
// # Order
//
// Findings stand by what they hurt, then by verdict, then by the margin in units of the check's reserve (order.go);
// what is clear hurts nothing and comes last. Within one check and feature that is the order of margins alone. A
// reading under a warning (doubt.go: a flange lower than any wears, readings that contradict each other, what a shape
// has to set aside) counts as it is written, but the worst pair of a check and feature is one without such a reading if
// the verdict has one; the finding says which was left out, and no repair is measured by it. check --summary knows no
// doubts and shows the worst of all.
//
// # Counts
//
// [Summary] counts pairs, and Problems the faults to mend: a check and feature at fault is one, a check and wheelset
// at fault is one wherever it runs. Lifted counts the conflicts of the plain rule that are none as computed.
package judge
