# The length of the shortest tour through places, proven: a whole-number programme in which every place has two edges
# (SciPy's solver), with a cut for every loop that leaves places out, until none does (Dantzig, Fulkerson, Johnson 1954;
# method recalled). Reads {"d": [[...]]}, distances in whole numbers, and writes the length.
import json, sys
import numpy
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix

d = json.load(sys.stdin)["d"]
n = len(d)
edges = [(i, j) for i in range(n) for j in range(i + 1, n)]
cost = numpy.array([d[i][j] for i, j in edges])
rows = [[k for k, e in enumerate(edges) if v in e] for v in range(n)]
low, high = [2] * n, [2] * n
while True:
    a = lil_matrix((len(rows), len(edges)))
    for r, row in enumerate(rows):
        for k in row:
            a[r, k] = 1
    got = milp(cost, constraints=LinearConstraint(a.tocsr(), low, high), integrality=numpy.ones(len(edges)), bounds=Bounds(0, 1), options={"mip_rel_gap": 0})
    if got.status != 0:
        sys.exit(got.message)
    beside = {v: [] for v in range(n)}
    for k, (i, j) in enumerate(edges):
        if got.x[k] > 0.5:
            beside[i].append(j)
            beside[j].append(i)
    left, loops = set(range(n)), []
    while left:
        loop, todo = set(), [min(left)]
        while todo:
            v = todo.pop()
            if v not in loop:
                loop.add(v)
                todo += beside[v]
        left -= loop
        loops.append(loop)
    if len(loops) == 1:
        break
    for loop in loops:
        rows.append([k for k, (i, j) in enumerate(edges) if (i in loop) != (j in loop)])
        low.append(2)
        high.append(numpy.inf)
print(round(got.fun))
