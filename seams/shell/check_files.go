package shell

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"
)

// checkFiles looks at every file that the shell file names: that it is there, a file, and of a kind that fits.
// Names are taken as they are written: no variable, ~ or % in them means anything.
func (r *reading) checkFiles() {
	for _, f := range r.sh.files() {
		if !slices.Contains(f.kinds, strings.ToLower(path.Ext(f.name))) {
			r.at(f.place, quote(f.name)+" is no "+strings.Join(f.kinds, " or ")+" file", r.otherKind(f))
			continue
		}
		where := r.sh.Path(f.name)
		info, err := os.Stat(where)
		switch {
		case errors.Is(err, fs.ErrNotExist) && strings.Contains(f.name, `\`):
			r.missing(f, err, "write folders with forward slashes: "+strings.ReplaceAll(f.name, `\`, "/"))
		case errors.Is(err, fs.ErrNotExist):
			r.missing(f, err, "check the name; it starts at the shell file's folder")
		case err != nil:
			r.at(f.place, "the file "+quote(f.name)+" cannot be read: "+plainCause(err), "check its permissions")
		case !info.Mode().IsRegular():
			r.at(f.place, quote(f.name)+" is not a file", "name the file itself")
		}
	}
}

func (r *reading) missing(f named, err error, remedy string) {
	r.at(f.place, "there is no file "+quote(f.name), remedy)
	r.list[len(r.list)-1].Cause = err
}

// otherKind sends a drawing given as mesh, or a mesh given as outline, to the right key.
func (r *reading) otherKind(f named) string {
	switch ext := strings.ToLower(path.Ext(f.name)); {
	case strings.HasSuffix(f.place, ".mesh") && (ext == ".dxf" || ext == ".csv"):
		return "name a drawing under outline"
	case strings.HasSuffix(f.place, ".outline") && ext == ".stl":
		return "name a mesh under mesh"
	}
	return "save it as one"
}
