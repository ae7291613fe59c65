package report

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"dryarc/audit"
	"dryarc/audit/basis"
)

// standingRecord is how far a verdict is from its limit in standard errors, as programs read it.
type standingRecord struct {
	Errors   number        `json:"value"`          // below 0 where it falls short
	Distance number        `json:"distance"`       // from the limit, in the verdict's measure, below 0 where it falls short; null where only borders move it
	Part     string        `json:"part,omitempty"` // which, with what it has of what it needs, where these are not the verdict's own figures
	BorderM  *metres       `json:"border_m,omitempty"`
	Of       []sigmaRecord `json:"of"`
	Unstated []string      `json:"not_stated,omitempty"` // inputs whose errors are not in it, since nobody states them
}

// sigmaRecord is the part of an input in a standard error.
type sigmaRecord struct {
	Input   string `json:"input"`
	Sigma   number `json:"sigma"`
	Measure string `json:"measure"`
	Stated  string `json:"stated"`
}

// standings finds how verdicts stand; nil where no line states an error of its inputs.
type standings struct {
	r *audit.Result
	u *audit.Uncertainty
}

func standingsOf(r *audit.Result) *standings {
	return &standings{r, audit.NewUncertainty(r.Network)}
}

// of is how an exception stands, nil where no error that is stated moves it.
func (s *standings) of(e *audit.Exception) *standingRecord {
	check := s.r.Checks[e.Check]
	if check.Errs == 0 || !s.u.AnyStated(e.Line) {
		return nil
	}
	subject := s.r.Network.Subject(&e.Location)
	return standingRecordOf(s.u, check, &subject, &e.Verdict)
}

// standingRecordOf is how a verdict stands, nil where no error that is stated moves it.
func standingRecordOf(u *audit.Uncertainty, check *audit.Check, subject *audit.Subject, v *audit.Verdict) *standingRecord {
	standing := u.Standing(check, subject, v)
	if !standing.Moves() {
		return nil
	}
	rec := &standingRecord{Errors: number(standing.Errors), Distance: number(standing.Distance)}
	if standing.Part != "" {
		rec.Part = fmt.Sprintf("%s, %s of %s", standing.Part, Value(standing.Observed), Value(standing.Required))
	}
	if !math.IsNaN(standing.BorderM) {
		border := metres(standing.BorderM)
		rec.BorderM = &border
	}
	for input := range audit.UncertainInputs {
		if sigma := standing.Sigmas[input]; sigma > 0 {
			measure, stated := standing.Measure, statedOf(u, subject, input)
			if input == audit.OfZoneBorders { // how far one is rests on where the structure stands too
				measure, stated = "m", statedOf(u, subject, input, audit.OfPositions)
			}
			rec.Of = append(rec.Of, sigmaRecord{input.String(), number(sigma), measure, stated})
		}
		if standing.Unstated[input] {
			rec.Unstated = append(rec.Unstated, input.String())
		}
	}
	return rec
}

// statedOf is what is stated of the errors of inputs beside a subject.
func statedOf(u *audit.Uncertainty, subject *audit.Subject, inputs ...audit.Uncertain) string {
	var stated []string
	for _, input := range inputs {
		if e := u.Stated(input, subject); !math.IsNaN(e.Least) {
			stated = append(stated, e.String())
		}
	}
	return strings.Join(stated, " and ")
}

// inWords says how a verdict stands.
func (rec *standingRecord) inWords() string {
	side := "inside"
	if rec.Errors < 0 {
		side = "beyond"
	}
	text := fmt.Sprintf("%s standard errors %s its limit", shortFigure(math.Abs(float64(rec.Errors))), side)
	if math.Abs(float64(rec.Errors)) < basis.SurveyBandSigmas {
		text += ", so that another outcome is within two of them"
	}
	if rec.Part != "" {
		text += fmt.Sprintf(" (by its part %s)", rec.Part)
	}
	var of []string
	for _, sigma := range rec.Of {
		of = append(of, fmt.Sprintf("%s %s, of %s", sigma.Input, Value(audit.Figure(fourDigits(float64(sigma.Sigma)), sigma.Measure)), sigma.Stated))
	}
	text += ": σ by " + strings.Join(of, "; ")
	if rec.BorderM != nil {
		text += fmt.Sprintf("; the border is %.0f m away", math.Abs(float64(*rec.BorderM)))
	}
	if len(rec.Unstated) > 0 {
		text += "; not stated, and left out: " + strings.Join(rec.Unstated, ", ")
	}
	return text
}

// shortFigure is a figure with three digits.
func shortFigure(x float64) string { return strconv.FormatFloat(x, 'g', 3, 64) }

// fourDigits is a figure with four digits.
func fourDigits(x float64) float64 {
	y, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 4, 64), 64)
	return y
}
