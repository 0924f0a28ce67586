package quote

import (
	"reflect"

	"seamwright/seams/shell"
)

// element is the value of an element time in a shell, by its key.
func element(e *shell.Elements, id string) (reflect.Value, bool) {
	v := reflect.ValueOf(e).Elem()
	for i := range v.NumField() {
		if v.Type().Field(i).Tag.Get("mapstructure") == id {
			return v.Field(i), true
		}
	}
	return reflect.Value{}, false
}

// valueOf is what the shell file states for an input; preparation is the sum over the stations.
func valueOf(sh *shell.Shell, id string) float64 {
	switch id {
	case "learning":
		return sh.Allowances.Learning
	case "rework_pct":
		return sh.Allowances.Rework
	case "common":
		return 1 // a factor on every time
	case "prepare_min":
		sum := 0.0
		for _, s := range sh.Stations {
			sum += s.Prepare
		}
		return sum
	}
	if v, ok := element(&sh.Elements, id); ok {
		return v.Float()
	}
	return 0
}
