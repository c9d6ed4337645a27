// Package workshop is a bench that does not exist: it bends bars of hidden steel on a hidden jig and
// follows the advice of the scripting interface to the letter, so that the advice can be judged by its ribs.
//
// Its physics is richer than the model behind the advice and shares no code with it: fibres with a
// rounded yield that softens on reversal, legs that bend at their roots during the wrap and under a
// pull, curvature that bulges between blocks, lots and bars that differ, a jig that drifts and readings
// with friction. It leaves to others: the advice itself (qc/bend), reached only through calc.
package workshop
