#!/usr/bin/env bash
# usage: internal/scale/measure.sh SHELL PROGRAM... — processor seconds, seconds by the clock and MiB of "plan SHELL" for each program,
# in turn: cold, and where the program keeps results (it knows --no-cache) once more with what the first run kept. Needs GNU time.
set -euo pipefail
shell=$1
shift
work=$(mktemp -d)
trap 'rm -rf "$work"' EXIT
export XDG_CACHE_HOME=$work/cache
run() { # NAME PROGRAM
  /usr/bin/time -f '%U %S %e %M' -o "$work/time" "$2" plan "$shell" -o "$work/plan" -q >"$work/out" 2>&1 || [ $? = 3 ] || { cat "$work/out"; exit 1; }
  read -r user system wall memory <"$work/time"
  awk -v n="$1" -v u="$user" -v s="$system" -v w="$wall" -v m="$memory" 'BEGIN {
    printf "| %-28s | %8.2f | %8.2f | %6.0f |\n", n, u + s, w, m / 1024 }'
}
printf '| %-28s | %8s | %8s | %6s |\n|---|---|---|---|\n' plan processor clock MiB
for program in "$@"; do
  rm -rf "$XDG_CACHE_HOME"
  run "$(basename "$program"), cold" "$program"
  if "$program" --help 2>&1 | grep -q -- --no-cache; then run "$(basename "$program"), nothing changed" "$program"; fi
done
