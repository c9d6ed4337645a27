package demo

import (
	_ "embed"

	"springline/cmd/springline/job"
)

//go:embed shelter.toml
var shelter []byte

// Invented: the bench has one helper who answers its questions and signs for pairs.
const (
	maker   = "Ilse Varga"
	checker = "Tomas Quill"
)

// seed draws the bars; another seed is another delivery.
const seed = 31

// firstFaceMM is the jig as first built, by a rule of thumb: half of the wanted radius and a little more.
const firstFaceMM = 696.0

// rebuildMM is how far the tips may be expected off before the jig is built anew for the next bar.
const rebuildMM = 10.0

// ribs of the shelter, and how many of them come from each lot: 24 and a spare.
var fromLot = []struct {
	lot  string
	bars int
}{{"lot-1", 9}, {"lot-2", 8}, {"lot-3", 8}}

// mishap is what goes wrong while a characteristic of a rib is read.
type mishap int

const (
	none      mishap = iota
	sentTwice        // the send key bounces: the same frame again within 40 ms
	inInches         // the gauge was switched to inches
	halfFrame        // the frame breaks off
	pulledOut        // the plug is pulled and goes back in, under another name
	byHand           // the battery is flat: the value is read off and typed
	inFeet           // typed in feet and inches
)

// mishapAt is where a mishap happens, once.
type mishapAt struct {
	rib  int
	char string
}

// mishaps are planned by rib number and characteristic, so that every run shows each once.
var mishaps = map[int]map[string]mishap{
	4:  {"crown": sentTwice},
	7:  {"tip": inInches},
	11: {"crown": halfFrame},
	15: {"A2": pulledOut},
	18: {"crown": byHand},
	21: {"tip": inFeet},
}

func readJob() (job.Job, error) { return job.Parse(shelter) }
