package shellfile

import (
	"errors"
	"io/fs"
	"os"
	"path"
	"slices"
	"strings"

	"seamwright/seams/shell"
)

// checkFiles looks at every file that the shell file names: that it is there, a file, and of a kind that fits.
// Names are taken as they are written: no variable, ~ or % in them means anything.
func (r *reading) checkFiles() {
	for _, f := range r.sh.Files() {
		if !slices.Contains(f.Kinds, strings.ToLower(path.Ext(f.Name))) {
			r.at(f.Place, quote(f.Name)+" is no "+strings.Join(f.Kinds, " or ")+" file", r.otherKind(f))
			continue
		}
		where := r.sh.Path(f.Name)
		info, err := os.Stat(where)
		switch {
		case errors.Is(err, fs.ErrNotExist) && strings.Contains(f.Name, `\`):
			r.missing(f, err, "write folders with forward slashes: "+strings.ReplaceAll(f.Name, `\`, "/"))
		case errors.Is(err, fs.ErrNotExist):
			r.missing(f, err, "check the name; it starts at the shell file's folder")
		case err != nil:
			r.at(f.Place, "the file "+quote(f.Name)+" cannot be read: "+plainCause(err), "check its permissions")
		case !info.Mode().IsRegular():
			r.at(f.Place, quote(f.Name)+" is not a file", "name the file itself")
		}
	}
}

func (r *reading) missing(f shell.NamedFile, err error, remedy string) {
	r.at(f.Place, "there is no file "+quote(f.Name), remedy)
	r.list[len(r.list)-1].Cause = err
}

// otherKind sends a drawing given as mesh, or a mesh given as outline, to the right key.
func (r *reading) otherKind(f shell.NamedFile) string {
	switch ext := strings.ToLower(path.Ext(f.Name)); {
	case strings.HasSuffix(f.Place, ".mesh") && (ext == ".dxf" || ext == ".csv"):
		return "name a drawing under outline"
	case strings.HasSuffix(f.Place, ".outline") && ext == ".stl":
		return "name a mesh under mesh"
	}
	return "save it as one"
}
