// Command visitors asks much of the local page's server for a time: readers, who go through its pages, and editors, who change a pitch on
// top of each other. It prints how many answers came and how long they took, and exits with 1 where one failed or where the
// server's memory grew by more than a tenth between the second fifth of the time and the last:
//
//	go build -race -o seamwright ./cmd/seamwright
//	go run ./internal/visitors -for 10m -readers 200 -editors 8 ./seamwright tarn-demo/shell.yaml
//
// It is run by hand, on Linux. The changes go beside the shell file, and are deleted in the end.
package main

import (
	"bufio"
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"os/exec"
	"slices"
	"strings"
	"sync"
	"syscall"
	"time"

	"seamwright/seams/changes"
)

func main() {
	long := flag.Duration("for", 10*time.Minute, "how long the visitors stay")
	readers := flag.Int("readers", 200, "who only look")
	editors := flag.Int("editors", 8, "who change a pitch now and then")
	flag.Parse()
	if flag.NArg() != 2 {
		fmt.Fprintln(os.Stderr, "visitors: name the program and a shell file")
		os.Exit(2)
	}
	if err := run(flag.Arg(0), flag.Arg(1), *long, *readers, *editors); err != nil {
		fmt.Fprintln(os.Stderr, "visitors:", err)
		os.Exit(1)
	}
}

func run(program, shell string, long time.Duration, readers, editors int) error {
	if _, err := os.Stat(changes.Path(shell)); err == nil {
		return fmt.Errorf("%s is there: name a shell file without changes", changes.Path(shell))
	}
	defer func() { _ = os.Remove(changes.Path(shell)) }() // ours alone
	server := exec.Command(program, "serve", shell)
	server.Stderr = os.Stderr
	out, err := server.StdoutPipe()
	if err != nil {
		return err
	}
	if err := server.Start(); err != nil {
		return err
	}
	line, err := bufio.NewReader(out).ReadString('\n')
	if err != nil {
		return fmt.Errorf("the server gave no address: %w", errors.Join(err, server.Wait()))
	}
	v := &visit{url: strings.TrimSpace(line), times: map[string][]time.Duration{}}
	v.client = &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: readers + editors}, Timeout: time.Minute}
	grown, err := v.stay(server.Process.Pid, long, readers, editors)
	_ = server.Process.Signal(syscall.SIGTERM) // its exit code tells
	ended := server.Wait()
	v.report(grown)
	switch code := server.ProcessState.ExitCode(); {
	case err != nil:
		return err
	case code != 143:
		return fmt.Errorf("the server ended with %d, 143 wanted: %w", code, ended)
	case v.failed > 0:
		return fmt.Errorf("%d answers failed, such as %s", v.failed, v.failure)
	case grown > 1.1:
		return fmt.Errorf("the server's memory grew by %.0f %%", 100*(grown-1))
	}
	return nil
}

// visit is what the visitors have seen.
type visit struct {
	url    string
	client *http.Client

	mu      sync.Mutex
	times   map[string][]time.Duration // by what was asked for
	failed  int
	failure string
	stale   int // changes that came after somebody else's
}

// stay sends the visitors, and says by how much the server's memory grew.
func (v *visit) stay(pid int, long time.Duration, readers, editors int) (grown float64, err error) {
	ctx, stop := context.WithTimeout(context.Background(), long)
	defer stop()
	var plan struct {
		Joints   []struct{ ID string }
		Stations []struct{ ID string }
		Flanges  []struct{ ID string }
	}
	text, err := v.ask(ctx, "GET", "api/plan", nil, nil)
	if err == nil {
		err = json.Unmarshal(text, &plan)
	}
	if err != nil || len(plan.Joints) == 0 || len(plan.Flanges) == 0 {
		return 0, fmt.Errorf("the plan has nothing to look at: %w", err)
	}
	var all sync.WaitGroup
	for i := range readers {
		all.Go(func() {
			r, seen := rand.New(rand.NewPCG(1, uint64(i))), map[string]string{}
			for ctx.Err() == nil {
				pages := []string{"", "station", "estimator", "api/plan", "api/parts?door=engineer", "api/parts?door=estimator",
					"api/scene.glb", "api/changes", "healthz",
					"api/graph.svg?flange=" + plan.Flanges[r.IntN(len(plan.Flanges))].ID, "api/cut?axis=x&at=" + fmt.Sprint(r.IntN(1500)),
					"api/value?key=guns"}
				_, _ = v.ask(ctx, "GET", pages[r.IntN(len(pages))], nil, seen) // counted there
				pause(ctx, time.Duration(1000+r.IntN(4000))*time.Millisecond)
			}
		})
	}
	for i := range editors {
		all.Go(func() {
			r := rand.New(rand.NewPCG(2, uint64(i)))
			for ctx.Err() == nil {
				v.edit(ctx, plan.Joints[r.IntN(len(plan.Joints))].ID, 25+r.IntN(15))
				pause(ctx, time.Duration(3000+r.IntN(4000))*time.Millisecond)
			}
		})
	}
	grown, err = growth(ctx, pid, long)
	stop()
	all.Wait()
	return grown, err
}

// growth is the server's memory over the last fifth of the time against the second, as in the first it fills what it keeps: each the
// median of what it was every other second, as it goes up and down between collections.
func growth(ctx context.Context, pid int, long time.Duration) (float64, error) {
	var parts [2][]float64
	begun := time.Now()
	for ctx.Err() == nil {
		now, err := memory(pid)
		if err != nil {
			return 0, err
		}
		switch share := float64(time.Since(begun)) / float64(long); {
		case share >= 0.2 && share < 0.4:
			parts[0] = append(parts[0], now)
		case share >= 0.8:
			parts[1] = append(parts[1], now)
		}
		pause(ctx, 2*time.Second)
	}
	if len(parts[0]) == 0 || len(parts[1]) == 0 {
		return 0, errors.New("the time was too short to see the memory grow: stay longer")
	}
	for _, p := range parts {
		slices.Sort(p)
	}
	before, after := parts[0][len(parts[0])/2], parts[1][len(parts[1])/2]
	fmt.Printf("memory: %.0f MiB in the second fifth, %.0f MiB in the last\n", before/(1<<20), after/(1<<20))
	return after / before, nil
}

func pause(ctx context.Context, d time.Duration) {
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

// edit changes one joint's pitch on top of what stands there, as a page does.
func (v *visit) edit(ctx context.Context, joint string, pitch int) {
	type change struct {
		Key string `json:"key"`
		To  string `json:"to"`
	}
	var now struct {
		Set     []change `json:"set"`
		Version string   `json:"version"`
	}
	text, err := v.ask(ctx, "GET", "api/changes", nil, nil)
	if err != nil || json.Unmarshal(text, &now) != nil {
		return
	}
	key := "joints." + joint + ".pitch_mm"
	now.Set = append(slices.DeleteFunc(now.Set, func(c change) bool { return c.Key == key }), change{key, fmt.Sprint(pitch)})
	if len(now.Set) > 5 {
		now.Set = now.Set[1:]
	}
	body, err := json.Marshal(now)
	if err == nil {
		_, _ = v.ask(ctx, "POST", "api/changes", body, nil) // counted there
	}
}

// ask is one question and its answer; who keeps what he has seen, as browsers do, asks only for what is new. One that is cut
// short by the end of the visit does not count.
func (v *visit) ask(ctx context.Context, method, path string, body []byte, seen map[string]string) ([]byte, error) {
	began := time.Now()
	r, err := http.NewRequestWithContext(ctx, method, v.url+path, bytes.NewReader(body))
	if err != nil {
		return nil, err
	}
	if tag := seen[path]; tag != "" {
		r.Header.Set("If-None-Match", tag)
	}
	answer, err := v.client.Do(r)
	var text []byte
	if err == nil {
		text, err = io.ReadAll(answer.Body)
		err = errors.Join(err, answer.Body.Close())
	}
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err == nil && seen != nil {
		seen[path] = answer.Header.Get("ETag")
	}
	v.mu.Lock()
	defer v.mu.Unlock()
	name, _, _ := strings.Cut(method+" /"+path, "?")
	v.times[name] = append(v.times[name], time.Since(began))
	switch {
	case err == nil && answer.StatusCode == http.StatusConflict:
		v.stale++
	case err == nil && answer.StatusCode != http.StatusOK && answer.StatusCode != http.StatusNotModified:
		err = fmt.Errorf("%s %s: %d %.200s", method, path, answer.StatusCode, text)
		fallthrough
	case err != nil:
		v.failed++
		v.failure = err.Error()
	}
	return text, err
}

func (v *visit) report(grown float64) {
	var names []string
	for n := range v.times {
		names = append(names, n)
	}
	slices.Sort(names)
	fmt.Printf("%-24s %8s %10s %10s %10s\n", "asked for", "answers", "median ms", "p99 ms", "most ms")
	for _, n := range names {
		t := v.times[n]
		slices.Sort(t)
		ms := func(d time.Duration) float64 { return d.Seconds() * 1000 }
		fmt.Printf("%-24s %8d %10.1f %10.1f %10.1f\n", n, len(t), ms(t[len(t)/2]), ms(t[len(t)*99/100]), ms(t[len(t)-1]))
	}
	fmt.Printf("%d failed; %d changes came after somebody else's and were shown them; memory in the last fifth %.2f times that in the "+
		"second\n", v.failed, v.stale, grown)
}

// memory is what a process holds, in bytes.
func memory(pid int) (float64, error) {
	status, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", pid))
	if err != nil {
		return 0, err
	}
	var kib float64
	for line := range strings.Lines(string(status)) {
		if _, err := fmt.Sscanf(line, "VmRSS: %f kB", &kib); err == nil {
			return 1024 * kib, nil
		}
	}
	return 0, errors.New("the process does not say what memory it holds")
}
