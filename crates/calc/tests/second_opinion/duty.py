"""A second opinion on duty cycles, run-ups and overload ratings, by other means than the program's.

Reads {"cycles": [...], "run_ups": [...]} as JSON from standard input and prints the results in the same order.
Cycles: torque and current as functions of time, integrated by adaptive quadrature between their corners.
Run-ups: the equation of motion J dw/dt = T - T_L solved as a differential equation up to the final speed.
Ratings: every overload budget simulated on a fine grid, the rating found by bisection.
Units: s, rad/s, N m, kg m2, A, W.
"""

import json
import math
import sys

import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq

CELLS = 1500  # per smooth stretch of a ramp: a budget's course is then good to about 1e-7


def load_share(load, n):
    """Share of the rated torque that the load asks for at the speed ratio n; friction turns with the motion."""
    kind = load["kind"]
    if kind == "share":
        return load["value"]
    against = math.copysign(1.0, n) if n else 0.0
    if kind == "constant":
        return load["at"] * against
    if kind == "linear":
        return load["at"] * n
    if kind == "quadratic":
        return load["at"] * against * (load["share"] + (1.0 - load["share"]) * n * n)
    if kind == "constant-power":
        return load["at"] * against / max(abs(n), load["share"])
    if kind == "hoist":
        up, rest, down = 1.0, load["share"], load["share"] ** 2
        return load["at"] * (up if n > 0 else down if n < 0 else rest)
    if kind == "incline":
        return load["at"] * (load["share"] + (1.0 - load["share"]) * against)
    raise ValueError(kind)


class Stretch:
    """Speed goes in a straight line from n0 to n1 (ratios) within `seconds`; nothing bends inside."""

    def __init__(self, cycle, segment, seconds, n0, n1, n_dot):
        self.cycle, self.segment, self.seconds = cycle, segment, seconds
        self.n0, self.n1, self.n_dot = n0, n1, n_dot

    def speed(self, t):
        return self.n0 + (self.n1 - self.n0) * t / self.seconds

    def torque(self, t):
        c, n = self.cycle, self.speed(t)
        if self.n0 * self.n1 == 0.0 and n == 0.0 and self.n0 != self.n1:
            n = math.copysign(1e-300, self.n0 + self.n1)
        return load_share(self.segment["load"], n) + c["inertia"] * self.n_dot * c["rated_speed"] / c["rated_torque"]

    def current_square(self, t):
        c, f = self.cycle, max(abs(self.speed(t)), 1.0)
        active = (c["rated_current"] ** 2 - c["no_load_current"] ** 2) * (self.torque(t) * f) ** 2
        return (c["no_load_current"] / f) ** 2 + active

    def power(self, t):
        return self.torque(t) * self.speed(t) * self.cycle["rated_torque"] * self.cycle["rated_speed"]


def stretches(cycle):
    out, n = [], cycle["start"] / cycle["rated_speed"]
    for segment in cycle["segments"]:
        end, ramp = segment["speed_to"] / cycle["rated_speed"], segment["ramp"]
        if ramp > 0.0:
            share = segment["load"].get("share", 0.0)
            corners = [c for c in (0.0, 1.0, -1.0, share, -share) if min(n, end) < c < max(n, end)]
            path = [n] + sorted(set(corners), reverse=end < n) + [end]
            n_dot = (end - n) / ramp
            for a, b in zip(path, path[1:]):
                seconds = ramp if a == b else ramp * (b - a) / (end - n)
                out.append(Stretch(cycle, segment, seconds, a, b, n_dot))
        if segment["time"] > ramp:
            out.append(Stretch(cycle, segment, segment["time"] - ramp, end, end, 0.0))
        n = end
    return out


def integral(f, seconds, corners=()):
    return quad(f, 0.0, seconds, epsabs=0.0, epsrel=1e-12, limit=200, points=list(corners) or None)[0]


def cycle_result(cycle):
    parts = stretches(cycle)
    period = sum(p.seconds for p in parts)
    current = torque = motoring = regenerating = 0.0
    for p in parts:
        eps = p.seconds * 1e-12
        ends = p.power(eps), p.power(p.seconds - eps)
        corner = [brentq(p.power, eps, p.seconds - eps, xtol=1e-14)] if ends[0] * ends[1] < 0.0 else []
        current += integral(p.current_square, p.seconds)
        torque += integral(lambda t: p.torque(t) ** 2, p.seconds)
        motoring += integral(lambda t: max(p.power(t), 0.0), p.seconds, corner)
        regenerating += integral(lambda t: max(-p.power(t), 0.0), p.seconds, corner)
    return {
        "rms_current": math.sqrt(current / period),
        "rms_torque": math.sqrt(torque / period) * cycle["rated_torque"],
        "mean_motoring": motoring / period,
        "mean_regenerating": regenerating / period,
        "rating": smallest_rating(cycle, parts, current / period),
    }


def ceilings(points):
    """Straight ceilings over (duration, allowed integral of (i/I)^2) that no stated point exceeds and that touch two of
    them, or one of them with slope 1 (the continuous current), or one of them from the origin (the peak)."""
    spots = [(0.0, 0.0)] + [(t, k * k * t) for k, t in points]
    lines = [(1.0, y - t) for t, y in spots[1:]]
    for i, (t, y) in enumerate(spots):
        lines += [((v - y) / (u - t), y - (v - y) / (u - t) * t) for u, v in spots[i + 1 :] if u != t]
    above = lambda slope, start: all(y <= start + slope * t + 1e-9 * max(1.0, y) for t, y in spots)
    return [(slope, max(start, 0.0)) for slope, start in lines if slope >= 1.0 and above(slope, start)]


def smallest_rating(cycle, parts, mean_square):
    times, squares, middles = [], [], []
    start = 0.0
    for p in parts:
        cells = 1 if p.n0 == p.n1 else CELLS
        t = np.linspace(0.0, p.seconds, cells + 1)
        eps = p.seconds * 1e-12
        at = np.array([p.current_square(x) for x in np.clip(t, eps, p.seconds - eps)])
        middle = np.array([p.current_square(x) for x in 0.5 * (t[1:] + t[:-1])])
        times.append(np.diff(t))
        squares.append(np.stack([at[:-1], at[1:]]))
        middles.append(middle)
        start += p.seconds
    step = np.concatenate(times)
    ends = np.concatenate(squares, axis=1)
    charge = step * (ends[0] + ends[1] + 4.0 * np.concatenate(middles)) / 6.0
    peak = math.sqrt(max(ends.max(), np.concatenate(middles).max()))
    if cycle["repeats"]:
        step, charge = np.tile(step, 2), np.tile(charge, 2)
    time, charge = np.append(0.0, np.cumsum(step)), np.append(0.0, np.cumsum(charge))
    limits = ceilings(cycle["points"])
    highest = max(k for k, _ in cycle["points"])

    def carries(rating):
        if peak > highest * rating or (cycle["repeats"] and mean_square > rating * rating):
            return False
        for slope, room in limits:
            course = charge / rating**2 - slope * time
            if room > 0.0 and (course - np.minimum.accumulate(course)).max() > room:
                return False
        return True

    low, high = 0.0, peak
    while high - low > 1e-9 * peak:
        middle = 0.5 * (low + high)
        low, high = (low, middle) if carries(middle) else (middle, high)
    return high


def run_up_time(case):
    def available(w):
        field = min(1.0, case["base"] / w) if w > 0.0 else 1.0
        return min(case["limit"] * field, case["breakdown"] * field * field)

    def motion(_, state):
        w = max(state[0], 0.0)
        load = load_share(case["load"], max(w / case["full"], 1e-300))
        return [(available(w) - load) / case["inertia"]]

    arrives = lambda _, state: state[0] - case["to"]
    arrives.terminal = True
    guess = case["inertia"] * case["to"] / (available(case["to"]) - load_share(case["load"], case["to"] / case["full"]))
    # Small steps keep the corners of the torque curves from fooling the step control.
    solved = solve_ivp(motion, (0.0, 1e3 * guess), [case["from"]], method="DOP853", events=arrives, rtol=1e-12, atol=1e-10, max_step=guess / 400.0)
    return float(solved.t_events[0][0])


def main():
    given = json.load(sys.stdin)
    result = {"cycles": [cycle_result(c) for c in given["cycles"]], "run_ups": [run_up_time(r) for r in given["run_ups"]]}
    json.dump(result, sys.stdout)


if __name__ == "__main__":
    main()
