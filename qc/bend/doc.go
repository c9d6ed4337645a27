// Package bend is the mechanics of cold-bending a round bar on a jig: springback forward and back, the
// jig to build, the effort, what a later pull at the tips sets, and what ribs teach about the next one.
//
// It leaves to others: the shape of a rib once its curvature is known (qc/arch), what is within
// tolerance and what is printed (qc and above), and the order of work at the bench (session).
//
// Nouns. The loaded radius is that of the centreline on the jig, the released radius that of the free
// rib; the ratio is loaded over released. The set is the permanent change of tip-to-tip after a pull;
// the travel is how far the tips were moved under load to get it. The spring constant is yield over
// modulus and diameter, fy/(E d), as it acts: learned from ribs, never a statement about the steel.
//
// Units: float64 mm, N, MPa, 1/mm, rad unless a name says otherwise.
//
// Caveats. Section formulas assume an initially straight round bar without residual stress, plane
// sections, linear hardening and yield equal in tension and compression. Release is elastic.
package bend
