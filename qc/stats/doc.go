// Package stats is the statistics of a rib bench: uncertainty budgets and risks, control charts, trend
// and change, capability and tolerance factors, gauge studies, outliers and fits.
//
// It leaves to others what is measured, which limits hold and what to do about a finding.
package stats
