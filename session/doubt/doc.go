// Package doubt asks whether a value counts by itself: a value, where it would go and when it came give nothing,
// or a [Question] with what was found and what a person is to decide. It never changes a value, records nothing and
// leaves the answer to a person.
package doubt
