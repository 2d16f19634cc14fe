"""A second opinion on allocation: the same problem as a mixed-integer program for SciPy's `milp` (HiGHS).

Reads a list of problems as JSON from standard input and prints the least cost of each, or null where it cannot be done.
Variables, all binary: a base is taken; copy c of a module sits in slot s; demand d lands by its way l on copy c; a group of a copy
carries a common; a pair of demands is on a pair of points of a copy.
"""

import json
import sys

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_matrix


def solve(problem):
    costs, rows = [], []

    def variable(cost=0.0):
        costs.append(cost)
        return len(costs) - 1

    def row(terms, low, high):
        rows.append((terms, low, high))

    points, modules, demands = problem["points"], problem["modules"], problem["demands"]
    base = [variable(b["cost"]) for b in problem["bases"]]
    row([(b, 1) for b in base], 1, 1)
    # seated[m][c] is the list of (slot, variable) of that copy
    seated = []
    for module in modules:
        price = module["cost"] + module["minutes"] * problem["per_minute"]
        seated.append([[(s, variable(price)) for s in sorted(set(module["fits"]))] for _ in range(module["limit"])])
        for copy in seated[-1]:
            row([(v, 1) for _, v in copy], 0, 1)
    for slot in range(problem["slots"]):
        here = [(v, 1) for copies in seated for copy in copies for s, v in copy if s == slot]
        row(here + [(base[i], -1) for i, b in enumerate(problem["bases"]) if slot in b["slots"]], -np.inf, 0)
    for at, module in enumerate(modules):
        for other in module["excludes"]:
            if other == at:
                continue
            for a in seated[at]:
                for b in seated[other]:
                    row([(v, 1) for _, v in a] + [(v, 1) for _, v in b], 0, 1)

    def presence(point, copy):
        kind, at = point["home"]
        return [(base[at], 1)] if kind == "base" else [(v, 1) for _, v in seated[at][copy]]

    def copies(point):
        kind, at = point["home"]
        return 1 if kind == "base" else modules[at]["limit"]

    lands = {}  # (demand, way, copy)
    for d, demand in enumerate(demands):
        for w, way in enumerate(demand["landings"]):
            for c in range(copies(points[way["point"]])):
                lands[d, w, c] = variable(way["cost"])
        row([(v, 1) for (e, _, _), v in lands.items() if e == d], 1, 1)
    for p, point in enumerate(points):
        for c in range(copies(point)):
            here = [(v, 1) for (d, w, k), v in lands.items() if k == c and demands[d]["landings"][w]["point"] == p]
            row(here + [(v, -point["capacity"] * s) for v, s in presence(point, c)], -np.inf, 0)
    carries = {}
    for (d, w, c), v in lands.items():
        way = demands[d]["landings"][w]
        point = points[way["point"]]
        if point["group"] is None or way["common"] is None:
            continue
        key = (tuple(point["home"]), c, point["group"])
        if (key, way["common"]) not in carries:
            carries[key, way["common"]] = variable()
        row([(v, 1), (carries[key, way["common"]], -1)], -np.inf, 0)
    for key in {k for k, _ in carries}:
        row([(v, 1) for (k, _), v in carries.items() if k == key], 0, 1)
    for pair in {d["pair"] for d in demands if d["pair"] is not None}:
        a, b = [i for i, d in enumerate(demands) if d["pair"] == pair]
        joined = {a: {}, b: {}}
        ways = []
        for p, first in enumerate(points):
            for q, second in enumerate(points):
                if p == q or first["home"] != second["home"] or first["pair"] is None or first["pair"] != second["pair"]:
                    continue
                for c in range(copies(first)):
                    together = variable()
                    ways.append((together, 1))
                    joined[a].setdefault((p, c), []).append(together)
                    joined[b].setdefault((q, c), []).append(together)
        row(ways, 1, 1)
        for demand in (a, b):
            for (d, w, c), v in lands.items():
                if d == demand:
                    at = (demands[d]["landings"][w]["point"], c)
                    row([(v, 1)] + [(t, -1) for t in joined[demand].get(at, [])], -np.inf, 0)
    entries = [(i, v, s) for i, (terms, _, _) in enumerate(rows) for v, s in terms]
    at, of, value = zip(*entries)
    matrix = csr_matrix((value, (at, of)), shape=(len(rows), len(costs)))
    found = milp(
        np.array(costs),
        constraints=LinearConstraint(matrix, [r[1] for r in rows], [r[2] for r in rows]),
        integrality=np.ones(len(costs)),
        bounds=Bounds(0, 1),
        options={"mip_rel_gap": 0.0},
    )
    return None if found.status == 2 else float(found.fun)


json.dump([solve(problem) for problem in json.load(sys.stdin)], sys.stdout)
