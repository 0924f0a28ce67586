package variants

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"seamwright/geometry/intake"
	"seamwright/internal/fileset"
	"seamwright/layout/whatif"
)

const (
	listName   = "list.json"
	mostResult = 1 << 20 // bytes of a file that we wrote
	mostListed = 2 * MostBytes
)

// Result is what came of one row. Row 0 is the shell as stated.
type Result struct {
	Row      int             `json:"row" about:"number of the variant in the list; 0: the shell as stated"`
	Name     string          `json:"name" about:"as the list names it, or its settings"`
	Settings []string        `json:"settings" about:"key=value of the shell file"`
	Key      string          `json:"key" about:"hash of all that the result was made from"`
	Base     string          `json:"base" about:"hash of the shell as stated, its files and the program"`
	Currency string          `json:"currency,omitempty" about:"ISO 4217 code"`
	Variant  *whatif.Variant `json:"variant,omitempty" about:"nothing where the row could not be planned"`
	Problem  string          `json:"problem,omitempty" about:"why the row could not be planned"`
}

// Folder holds the results of one list.
type Folder struct {
	Dir  string
	List string // hash of the list
	Rows []Row
}

// listed is what the folder says of its list.
type listed struct {
	List string `json:"list"`
	Rows []Row  `json:"rows"`
}

// Open makes the folder one of this list's results. It refuses a folder of another list's.
func Open(dir string, list *List) (*Folder, error) {
	f := &Folder{Dir: dir, List: hashOf(list.Text), Rows: list.Rows}
	old, err := readListed(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return nil, err
	case old.List != f.List:
		return nil, fileset.Refused{Path: dir, Reason: "it holds the results of another list: name another folder, or remove it"}
	default:
		return f, nil
	}
	text, err := json.Marshal(listed{f.List, f.Rows})
	if err != nil {
		return nil, err
	}
	return f, put(filepath.Join(dir, listName), append(text, '\n'))
}

func readListed(dir string) (listed, error) {
	var out listed
	path := filepath.Join(dir, listName)
	if _, err := os.Stat(path); err != nil {
		return out, err
	}
	data, _, err := intake.ReadFile(path, mostListed)
	if err != nil {
		return out, err
	}
	if err := json.Unmarshal(data, &out); err != nil || len(out.Rows) == 0 {
		return out, fmt.Errorf("%s: not a list that seamwright variants wrote: name another folder, or remove it", path)
	}
	return out, nil
}

func hashOf(data []byte) string {
	sum := sha256.Sum256(data)
	return hex.EncodeToString(sum[:])
}

// put writes a file whole or not at all.
func put(path string, data []byte) error {
	to, err := fileset.FileTarget(path)
	if err != nil {
		return err
	}
	return to.Write(data)
}

func (f *Folder) path(row int) string { return filepath.Join(f.Dir, fmt.Sprintf("row-%06d.json", row)) }

// Has tells whether the row's result is there, made from just this.
func (f *Folder) Has(row int, key string) (Result, bool) {
	r, err := f.read(row)
	return r, err == nil && r.Key == key
}

// Put keeps the result of a row.
func (f *Folder) Put(r Result) error {
	text, err := json.MarshalIndent(r, "", "  ")
	if err != nil {
		return err
	}
	return put(f.path(r.Row), append(text, '\n'))
}

func (f *Folder) read(row int) (Result, error) {
	var r Result
	data, _, err := intake.ReadFile(f.path(row), mostResult)
	if err != nil {
		return r, err
	}
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&r); err != nil || r.Row != row || (r.Variant == nil) == (r.Problem == "") {
		return r, fmt.Errorf("%s: not a result that seamwright variants wrote", f.path(row))
	}
	return r, nil
}

// Missing tells whether the row has no result.
func (r Result) Missing() bool { return r.Variant == nil && r.Problem == "" }

// Gather reads the results of a folder by row, the shell as stated first. A row without a result, or whose result was made from
// another state of the shell file, of a file that it names or of the program than the shell as stated, is Missing. Errors
// are those of a folder that is not of ours.
func Gather(ctx context.Context, dir string) ([]Result, error) {
	l, err := readListed(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("%s: no results of variants in it: name the folder that seamwright variants -o wrote", dir)
	}
	if err != nil {
		return nil, err
	}
	f := &Folder{Dir: dir, List: l.List, Rows: l.Rows}
	stated, err := f.read(0)
	if err != nil {
		return nil, fmt.Errorf("%s: the shell as stated has no result: run seamwright variants again", dir)
	}
	out := []Result{stated}
	for _, row := range f.Rows {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		r, err := f.read(row.Number)
		if err != nil || r.Base != stated.Base {
			r = Result{Row: row.Number, Name: row.Name, Settings: row.Settings}
		}
		out = append(out, r)
	}
	return out, nil
}
