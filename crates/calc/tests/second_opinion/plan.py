"""A second opinion on plans, by other means than the program's.

Reads {"plans": [...]} as JSON from standard input and prints the results in the same order.
Triangular times come from SciPy's generator and quantiles from numpy; the longest way is the longest path of a matrix product in
the (max, +) algebra instead of a pass over a list; the latest moment to turn back is found on a grid of minutes from its definition.
Units: minutes.
"""

import json
import sys

import numpy as np
from scipy.stats import norm, triang

RUNS = 20000


def draw(rng, estimate, runs):
    least, likely, most = estimate
    if most <= least:
        return np.full(runs, likely)
    return triang.rvs((likely - least) / (most - least), loc=least, scale=most - least, size=runs, random_state=rng)


def finishes(links, times):
    """Earliest finishes: the fixed point of x = max over predecessors + own time, reached after as many steps as tasks."""
    count = times.shape[0]
    done = times.copy()
    for _ in range(count):
        ahead = np.zeros_like(done)
        for before, after in links:
            ahead[after] = np.maximum(ahead[after], done[before])
        new = ahead + times
        if np.array_equal(new, done):
            break
        done = new
    return done


def way_back(links, back, begun):
    """Undoing in reverse order: the longest chain of steps back among what was begun."""
    return finishes([(b, a) for a, b in links], np.where(begun, back, 0.0)).max(axis=0)


def plan(case):
    rng = np.random.default_rng(case["seed"])
    links = [tuple(pair) for pair in case["links"]]
    forward = np.array([draw(rng, e, RUNS) for e in case["forward"]])
    back = np.array([draw(rng, e, RUNS) for e in case["back"]])
    done = finishes(links, forward)
    starts = done - forward
    end = done.max(axis=0)
    window, wanted = case["window"], case["confidence"]
    grid = np.arange(0.0, window + 1.0, 1.0)
    share = []
    for t in grid:
        share.append(np.mean(t + way_back(links, back, starts < t) <= window))
        if share[-1] < wanted / 2:
            break
    fits = [t for t, s in zip(grid, share) if s >= wanted]
    means = np.array([[(e[0] + 4 * e[1] + e[2]) / 6] for e in case["forward"]])
    length = float(finishes(links, means).max())
    return {
        "chance": float(np.mean(end <= window)),
        "mean": float(end.mean()),
        "late": float(np.quantile(end, wanted)),
        "turn_back": float(max(fits)) if fits else -1.0,
        "quantiles": [float(triang.ppf(u, (e[1] - e[0]) / (e[2] - e[0]), loc=e[0], scale=e[2] - e[0])) for e in case["forward"] for u in (0.1, 0.5, 0.9)],
        "pert": length,
        "phi": float(norm.cdf(case["z"])),
    }


cases = json.load(sys.stdin)
json.dump([plan(case) for case in cases["plans"]], sys.stdout)
