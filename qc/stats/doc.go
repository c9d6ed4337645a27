// Package stats is the statistics of a rib bench: uncertainty budgets and risks, control charts, trend
// and change, capability and tolerance factors, gauge studies, outliers and fits. It leaves to others what
// is measured, which limits hold and what to do about a finding.
//
// Nouns. A [Part] is one contribution to an uncertainty, a [Combined] the finished budget. A [ChartRule] is a
// pattern on a control chart; scores are standard deviations from what came before. A [Study] is a gauge
// study, parts by operators by repeats. An [*Error] says by code and argument why a computation is refused.
//
// Caveats. Values are float64 in any unit, the same for all arguments unless said; NaN and what squares to
// more than a float64 holds are refused. Indexes of signals are 1-based, as people count ribs. Degrees of freedom
// may be infinite and a p-value may be unknown (NaN): both are said where they occur.
package stats
