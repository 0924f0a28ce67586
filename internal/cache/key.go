package cache

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"hash"
	"math"
	"reflect"
	"slices"
	"strings"
)

// Key is a hash of all that a result was made from.
type Key [sha256.Size]byte

// Input is one of the things that a result is made from. Of a struct all exported fields count, of a pointer what it points
// to; functions and unexported fields are no inputs, and panic unless they are zero; so do
// channels.
type Input struct {
	Name  string
	Value any
}

// KeyOf is the key of a stage's result. Inputs with other names, values or types, in another order, or another stage make
// another key; nil and empty lists are told apart.
func (c *Cache) KeyOf(stage string, inputs ...Input) Key {
	w := writer{h: sha256.New(), fields: map[reflect.Type][]field{}}
	w.text(stage)
	for _, in := range inputs {
		if c != nil && c.leaveOut != nil && c.leaveOut(stage, in.Name) {
			continue
		}
		w.text(in.Name)
		if in.Value == nil {
			w.number(0)
			continue
		}
		v := reflect.ValueOf(in.Value)
		w.text(v.Type().String())
		w.value(v)
	}
	w.flush()
	return Key(w.h.Sum(nil))
}

// writer writes values so that no two of a type look alike.
type writer struct {
	h       hash.Hash
	pending []byte
	fields  map[reflect.Type][]field // of each struct that was met: to ask for them costs as much as to write them
}

type field struct {
	name     string
	exported bool
}

func (w *writer) fieldsOf(t reflect.Type) []field {
	out, known := w.fields[t]
	if !known {
		for i := range t.NumField() {
			out = append(out, field{t.Field(i).Name, t.Field(i).IsExported()})
		}
		w.fields[t] = out
	}
	return out
}

func (w *writer) flush() {
	w.h.Write(w.pending)
	w.pending = w.pending[:0]
}

func (w *writer) number(n uint64) {
	if len(w.pending) > 1<<12 {
		w.flush()
	}
	w.pending = binary.LittleEndian.AppendUint64(w.pending, n)
}

func (w *writer) text(s string) {
	w.number(uint64(len(s)))
	w.pending = append(w.pending, s...)
}

func (w *writer) value(v reflect.Value) {
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			w.number(1)
		} else {
			w.number(0)
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		w.number(uint64(v.Int()))
	case reflect.Uint, reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64:
		w.number(v.Uint())
	case reflect.Float32, reflect.Float64:
		w.number(math.Float64bits(v.Float()))
	case reflect.String:
		w.text(v.String())
	case reflect.Array, reflect.Slice:
		w.list(v)
	case reflect.Map:
		w.table(v)
	case reflect.Func:
		if !v.IsNil() {
			panic(fmt.Sprintf("cache: a %s cannot be part of a key", v.Type()))
		}
	case reflect.Pointer, reflect.Interface:
		w.pointer(v)
	case reflect.Struct:
		for i, f := range w.fieldsOf(v.Type()) {
			switch {
			case f.exported:
				w.value(v.Field(i))
			case !v.Field(i).IsZero():
				panic(fmt.Sprintf("cache: %s.%s is unexported: it cannot be part of a key", v.Type(), f.name))
			}
		}
	default:
		panic(fmt.Sprintf("cache: a %s cannot be part of a key", v.Type()))
	}
}

func (w *writer) list(v reflect.Value) {
	if v.Kind() == reflect.Slice && v.IsNil() {
		w.number(math.MaxUint64)
		return
	}
	w.number(uint64(v.Len()))
	for i := range v.Len() {
		w.value(v.Index(i))
	}
}

func (w *writer) table(v reflect.Value) {
	keys := v.MapKeys()
	if v.Type().Key().Kind() != reflect.String {
		panic(fmt.Sprintf("cache: a %s cannot be part of a key", v.Type()))
	}
	slices.SortFunc(keys, func(a, b reflect.Value) int { return strings.Compare(a.String(), b.String()) })
	w.number(uint64(len(keys)))
	for _, k := range keys {
		w.text(k.String())
		w.value(v.MapIndex(k))
	}
}

func (w *writer) pointer(v reflect.Value) {
	if v.IsNil() {
		w.number(0)
		return
	}
	w.number(1)
	if v.Kind() == reflect.Interface {
		w.text(v.Elem().Type().String())
	}
	w.value(v.Elem())
}
