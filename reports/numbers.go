package reports

import (
	"regexp"
	"strings"
	"time"

	"springline/qc"
	"springline/qc/length"
)

// maxPlaces is the number of decimals of a millimetre at which every length is exact.
const maxPlaces = 6

// step is the length of one unit in the given decimal place of a millimetre.
func step(places int) length.Length {
	s := length.Millimetre
	for range places {
		s /= 10
	}
	return s
}

// plain is a length in millimetres with a fixed number of decimals and a true minus sign.
func plain(l length.Length, places int) string {
	return minus(l.Text(length.MM, step(places)))
}

// signed is plain with a plus before what is above zero after rounding.
func signed(l length.Length, places int) string {
	s := plain(l, places)
	if l > 0 && strings.Trim(s, "0.") != "" {
		return "+" + s
	}
	return s
}

// atLeast is plain, rounded up: an uncertainty is never printed smaller than it is.
func atLeast(l length.Length, places int) string {
	s := step(places)
	return plain((l+s-1)/s*s, places)
}

// exact is a length in millimetres with no idle zeros.
func exact(l length.Length) string { return minus(l.String()) }

func exactSigned(l length.Length) string {
	if l > 0 {
		return "+" + exact(l)
	}
	return exact(l)
}

// placesOf is the least number of decimals that shows l exactly.
func placesOf(l length.Length) int {
	for p := range maxPlaces {
		if l%step(p) == 0 {
			return p
		}
	}
	return maxPlaces
}

// readPlaces is how many decimals a value earns: those of the gauge's resolution for a single reading,
// and for a mean those that stay no finer than a tenth of it.
func readPlaces(resolution length.Length, readings int) int {
	for p := range maxPlaces {
		if readings <= 1 && step(p) <= resolution {
			return p
		}
		if readings > 1 && step(p+1) < (resolution+9)/10 {
			return p
		}
	}
	return maxPlaces
}

// deviationPlaces is how many decimals the deviations of characteristic c are printed with: what the
// gauges earn, what target and limits have, and more where a rounded deviation would fall on the other
// side of a limit than the exact one.
func deviationPlaces(c qc.Characteristic, js []qc.Judgement, gauges qc.GaugeOf) int {
	p := max(min(placesOf(c.Nominal), 1), placesOf(c.Lower), placesOf(c.Upper))
	for _, j := range js {
		if g, ok := gauges(j.Dev.Gauge); ok {
			p = max(p, readPlaces(g.Resolution, j.Dev.Readings))
		}
	}
	for ; p < maxPlaces; p++ {
		if !contradicts(c, js, p) {
			break
		}
	}
	return min(p, maxPlaces)
}

func contradicts(c qc.Characteristic, js []qc.Judgement, places int) bool {
	for _, j := range js {
		r := j.Dev.Dev.Round(step(places), length.TieEven)
		if (r > c.Upper) != (j.Dev.Dev > c.Upper) || (r < c.Lower) != (j.Dev.Dev < c.Lower) {
			return true
		}
	}
	return false
}

var asciiMinus = regexp.MustCompile(`(^|[ (])-([0-9])`)

// minus sets true minus and plus-minus signs in a text made for screens of any kind.
func minus(s string) string {
	s = strings.ReplaceAll(s, "+-", "±")
	return asciiMinus.ReplaceAllString(s, "${1}−${2}")
}

// stamp prints a time with its offset from UTC; zero prints as nothing.
func stamp(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2006-01-02 15:04:05 ") + offset(t)
}

func day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2006-01-02")
}

func offset(t time.Time) string {
	if _, o := t.Zone(); o == 0 {
		return "UTC"
	}
	return "UTC" + minus(t.Format("-07:00"))
}
