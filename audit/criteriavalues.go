package audit

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"

	"dryarc/audit/basis"
)

// NothingStated is the value of a criterion that nobody states and that has no default.
const NothingStated = "not stated"

// InForce is a criterion as it stands in one audit.
type InForce struct {
	Criterion
	Value  string // NothingStated where there is none
	Stated bool
}

// Means says what a criterion means, in which unit, and what holds where it is not stated, unless that is one value.
func (k *Criterion) Means() string {
	text := k.Meaning
	if k.Measure != "" {
		text += ", " + k.Measure
	}
	if k.Otherwise != "" {
		text += "; " + k.Otherwise + " where not stated"
	}
	return text
}

// Range is the range of its numbers in words, empty where it has none.
func (k *Criterion) Range() string {
	if k.Low == 0 && k.High == 0 {
		return ""
	}
	return strconv.FormatFloat(k.Low, 'f', -1, 64) + " to " + strconv.FormatFloat(k.High, 'f', -1, 64)
}

// Shown is the value with its unit of measure.
func (k *InForce) Shown() string {
	if k.Value == NothingStated || k.Measure == "" {
		return k.Value
	}
	return k.Value + " " + k.Measure
}

// From says where the value in force comes from: "stated", "default, common practice", or "no default".
func (k *InForce) From() string {
	switch {
	case k.Stated:
		return "stated"
	case k.Otherwise != "" && k.Otherwise == k.Value:
		return "default"
	case k.Otherwise != "" && k.Clause.IsZero():
		return "default: " + k.Otherwise
	case k.Otherwise != "":
		return "default: " + k.Otherwise + ", " + k.Clause.String()
	case k.Clause.IsZero():
		return "no default"
	}
	return "default, " + k.Clause.String()
}

// DefaultCriteria returns the criteria of a project that states none.
func DefaultCriteria() Criteria {
	var c Criteria
	for _, k := range AllCriteria() {
		switch v := k.In(&c).(type) {
		case *Number:
			*v = NotStated()
			if !k.Clause.IsZero() && k.Otherwise == "" {
				*v = Number{Value: k.Default, Clause: k.Clause}
			}
		case *OwnCreepage:
			for i := range v.MMPerKV {
				v.MMPerKV[i] = math.NaN()
			}
		case *DirectCreepage:
			*v = unknownDirectCreepage()
		case *[]SoundUnitsRule:
			*v = []SoundUnitsRule{}
		case *[]CrossingRule:
			*v = []CrossingRule{}
		case *[]LoadCase:
			*v = []LoadCase{}
		case *ResidualStrength:
			*v = ResidualStrength{}
		case *GradingRings:
			*v = GradingRings{}
		case *WatchList:
			*v = WatchList{}
		case *Ageing:
			*v = Ageing{}
		}
	}
	return c
}

// List returns every criterion in the order of the table, for the outputs.
func (c *Criteria) List() []InForce {
	table := AllCriteria()
	list := make([]InForce, len(table))
	for i, k := range table {
		held := k.held(c)
		list[i] = InForce{Criterion: k, Value: cmp.Or(held.text, NothingStated), Stated: held.stated}
	}
	return list
}

// MarshalJSON writes the criteria in force, unknown numbers as null.
func (c Criteria) MarshalJSON() ([]byte, error) {
	return c.marshal(func(*Criterion) bool { return true })
}

// AsJSON is one criterion as JSON has it, whole.
func (c *Criteria) AsJSON(k *Criterion) []byte {
	value, err := json.Marshal(k.held(c).plain)
	if err != nil {
		panic("audit: criterion " + k.Key + " is no JSON: " + err.Error())
	}
	return value
}

func (c *Criteria) marshal(wanted func(*Criterion) bool) ([]byte, error) {
	var object bytes.Buffer
	for _, last := range [...]bool{false, true} {
		for _, k := range AllCriteria() {
			held := k.held(c)
			if k.lastInJSON != last || held.left || !wanted(&k) {
				continue
			}
			value, err := json.Marshal(held.plain)
			if err != nil {
				return nil, fmt.Errorf("criterion %s: %w", k.Key, err)
			}
			fmt.Fprintf(&object, ",%q:%s", k.Key, value)
		}
	}
	if object.Len() == 0 {
		return []byte("{}"), nil
	}
	object.WriteByte('}')
	object.Bytes()[0] = '{'
	return object.Bytes(), nil
}

// held is what a criterion holds.
type held struct {
	text   string // empty where it holds nothing
	stated bool
	plain  any  // as JSON has it
	left   bool // out of JSON
}

// held reads a criterion by its kind.
func (k *Criterion) held(c *Criteria) held {
	switch v := k.In(c).(type) {
	case *Number:
		if !v.Known() {
			return held{plain: v}
		}
		return held{text: v.text(), stated: v.Stated, plain: v}
	case Choice[bool]:
		return held{text: fmt.Sprint(*v.Value), stated: *v.Stated, plain: *v.Value}
	case Choice[basis.CreepageBasis]:
		return held{text: v.Value.String(), stated: *v.Stated, plain: v.Value.String()}
	case Choice[basis.VoltageTable]:
		return held{text: v.Value.String(), stated: *v.Stated, plain: v.Value.String()}
	case Choice[basis.AltitudeBasis]:
		return held{text: v.Value.String(), stated: *v.Stated, plain: v.Value.String()}
	case Choice[basis.StatedTension]:
		return held{text: v.Value.String(), stated: *v.Stated, plain: v.Value.String()}
	case Choice[CombinedLoads]:
		return held{text: v.Value.String(), stated: *v.Stated, plain: v.Value.String()}
	case *basis.Class:
		if *v == basis.ClassUnknown {
			return held{}
		}
		return held{text: v.String(), stated: true, plain: v.String()}
	case *ArcingDistance:
		return held{text: v.String(), stated: *v != ArcingNotStated, plain: v.String(), left: *v == ArcingNotStated}
	case *basis.FlashoverTable:
		return held{text: v.String(), stated: *v != basis.NoFlashoverTable, plain: v.String(), left: *v == basis.NoFlashoverTable}
	case *OwnCreepage:
		return v.held()
	case *CreepageVoltage:
		return v.held()
	case *DirectCreepage:
		return v.held()
	case *InsulatorFactor:
		if !v.IsStated() {
			return held{plain: v}
		}
		return held{text: v.String(), stated: true, plain: v}
	case *BrokenConductor:
		if *v == (BrokenConductor{}) {
			return held{left: true}
		}
		return held{text: v.String(), stated: true, plain: v}
	case *[]SoundUnitsRule:
		return heldList(*v, func(r *SoundUnitsRule) string { return fmt.Sprintf("%g kV: %d", r.NominalKV, r.Units) })
	case *[]CrossingRule:
		return heldList(*v, func(r *CrossingRule) string { return r.String() })
	case *[]LoadCase:
		return heldList(*v, (*LoadCase).String)
	case *ResidualStrength:
		list := heldList(*v, func(r *ResidualShare) string { return fmt.Sprintf("%s: %g", r.Material, r.Share) })
		list.left = !list.stated
		return list
	case *Ageing:
		list := heldList(*v, func(r *AgeRule) string { return fmt.Sprintf("%s: %g", r.Of, r.Years) })
		list.left = !list.stated
		return list
	case *GradingRings:
		list := heldList(*v, func(r *RingsRule) string { return fmt.Sprintf("from %g: %s", r.FromKV, r.Ends) })
		list.left = !list.stated
		return list
	case *WatchList:
		list := heldList(*v, func(r *WatchRule) string { return r.String() + ": " + r.Note })
		list.left = !list.stated
		return list
	case *RemedyRule:
		list := heldList(v.Prefer, func(p *Preference) string { return p.String() })
		list.plain, list.left = v, !list.stated
		return list
	case *PriorityRule:
		return held{text: v.String(), stated: v.IsStated(), plain: v, left: !v.IsStated()}
	case *RiskRule:
		return held{text: v.String(), stated: v.IsStated(), plain: v, left: !v.IsStated()}
	}
	panic("audit: criterion " + k.Key + " is of no known kind")
}

func heldList[T any](list []T, text func(*T) string) held {
	texts := make([]string, len(list))
	for i := range list {
		texts[i] = text(&list[i])
	}
	return held{text: strings.Join(texts, ", "), stated: len(list) > 0, plain: list}
}

func (own *OwnCreepage) held() held {
	if own.Base == basis.NoBase {
		return held{left: true}
	}
	texts, plain := []string{"base: " + own.Base.String()}, map[string]any{"base": own.Base.String()}
	for i, mmPerKV := range own.MMPerKV {
		if !math.IsNaN(mmPerKV) {
			class := basis.Class(i).String()
			plain[class] = mmPerKV
			texts = append(texts, fmt.Sprintf("%s: %g", class, mmPerKV))
		}
	}
	return held{text: strings.Join(texts, ", "), stated: true, plain: plain, left: len(plain) == 1}
}
