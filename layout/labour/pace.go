package labour

import "seamwright/seams/shell"

// Pace turns the bare time of a piece of work into what is planned for it.
type Pace struct {
	Practice   float64 // factor on hand work; 1 for a first shell
	Allowances float64 // share on top of all work
}

// PaceOf is the pace averaged over the shell file's batch.
func PaceOf(sh *shell.Shell) (Pace, error) {
	f, err := PracticeOf(sh).Average(sh.Batch)
	return Pace{Practice: f, Allowances: allowances(sh)}, err
}

// PaceAt is the pace at the n-th shell of a batch, counted from 1.
func PaceAt(sh *shell.Shell, n int) (Pace, error) {
	f, err := PracticeOf(sh).Unit(n)
	return Pace{Practice: f, Allowances: allowances(sh)}, err
}

// allowances is what is added to all work, as a share.
func allowances(sh *shell.Shell) float64 {
	a := sh.Allowances
	return (a.Personal + a.Fatigue + a.Posture + a.Contingency) / 100
}

// Seconds is the planned time of a piece of work, unrounded.
func (p Pace) Seconds(piece Piece, sh *shell.Shell) float64 {
	bare := float64(piece.Quantity(sh) * piece.Each)
	return float64(float64(bare*(1-piece.Hand)+float64(bare*piece.Hand)*p.Practice) * (1 + p.Allowances))
}

// Minutes is the planned man-time of an account's work, unrounded.
func (p Pace) Minutes(a Account, sh *shell.Shell) float64 {
	sum := 0.0
	for _, piece := range a.Work {
		sum += p.Seconds(piece, sh)
	}
	return sum / 60
}
