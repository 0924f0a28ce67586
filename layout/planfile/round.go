package planfile

import (
	"fmt"
	"math"
	"reflect"
	"strconv"

	"seamwright/internal/schema"
	"seamwright/layout"
)

// Round puts every number of the plan at the precision in which it is written, so that a plan in memory and the
// same plan read back are equal. Lengths keep 1e-4 mm, directions 1e-6, times and money 1e-4 of their unit (the
// tag unit of a field gives the unit of each). Empty lists become lists of length zero, minus zero becomes zero.
// Rounding twice changes nothing. A number that is infinite or not a number is an error that names its field; the
// plan is then left as it was.
func Round(p *layout.Plan) error {
	rounded, err := roundedCopy(p)
	if err != nil {
		return err
	}
	*p = *rounded
	return nil
}

// roundedCopy shares no memory with p.
func roundedCopy(p *layout.Plan) (*layout.Plan, error) {
	q := new(layout.Plan)
	if err := (rounder{}).into(reflect.ValueOf(q).Elem(), reflect.ValueOf(p).Elem(), 0); err != nil {
		return nil, fmt.Errorf("plan: %s %w", err.path, err)
	}
	return q, nil
}

// rounder remembers the decimals of the fields of each type that it meets.
type rounder map[reflect.Type][]int

// notFinite is a number that JSON cannot hold, with the path to it built up from the inside out.
type notFinite struct {
	path  string
	value float64
}

func (e *notFinite) Error() string {
	return fmt.Sprintf("is %v: only finite numbers can be written", e.value)
}

// under puts the error's place one level down.
func (e *notFinite) under(name string) *notFinite {
	if e == nil {
		return nil
	}
	if e.path != "" && e.path[0] != '[' {
		name += "."
	}
	return &notFinite{name + e.path, e.value}
}

// into fills dst from src; places are the decimals, those of the field that src lies in.
func (r rounder) into(dst, src reflect.Value, places int) *notFinite {
	switch src.Kind() {
	case reflect.Struct:
		return r.copyStruct(dst, src)
	case reflect.Slice:
		dst.Set(reflect.MakeSlice(src.Type(), src.Len(), src.Len()))
		return r.copyItems(dst, src, places)
	case reflect.Array:
		return r.copyItems(dst, src, places)
	case reflect.Float64:
		v := src.Float()
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return &notFinite{value: v}
		}
		dst.SetFloat(roundTo(v, places))
	default:
		dst.Set(src)
	}
	return nil
}

func (r rounder) copyStruct(dst, src reflect.Value) *notFinite {
	for i, places := range r.placesOf(src.Type()) {
		if err := r.into(dst.Field(i), src.Field(i), places); err != nil {
			return err.under(schema.Name(src.Type().Field(i)))
		}
	}
	return nil
}

// placesOf are the decimals of each field of a struct.
func (r rounder) placesOf(t reflect.Type) []int {
	out, known := r[t]
	if !known {
		out = make([]int, t.NumField())
		for i := range out {
			out[i] = decimals(t.Field(i).Tag.Get("unit"))
		}
		r[t] = out
	}
	return out
}

func (r rounder) copyItems(dst, src reflect.Value, places int) *notFinite {
	for i := range src.Len() {
		if err := r.into(dst.Index(i), src.Index(i), places); err != nil {
			return err.under("[" + strconv.Itoa(i) + "]")
		}
	}
	return nil
}

// roundTo rounds half to even. Numbers so large that they hold no such decimals stay as they are.
func roundTo(v float64, decimals int) float64 {
	scale := math.Pow10(decimals)
	scaled := float64(v * scale)
	if math.Abs(scaled) >= 1<<53 {
		return v
	}
	return math.RoundToEven(scaled)/scale + 0 // + 0 turns minus zero into zero
}
