"""The sheet of `assess.rs` in NumPy: the same checks for 100 positions x 500 candidates of which every fact is known.

Written from the pages of the findings, not from the Rust code, so that it is a second opinion as well as a yardstick for
speed. Reads target/bench/sheet.json, which the Rust benchmark and test write; compares every margin; prints CHECKS_PER_SECOND. Everything in the file is invented.
"""

import json
import pathlib
import sys
import time

import numpy as np

# Margins agree to this share: both sides compute in double precision along different ways.
CLOSE = 1e-6

ALTITUDE = ([1000.0, 2000.0, 3000.0], [1.0, 0.9, 0.8])
AIR = ([313.15, 323.15, 328.15], [1.0, 0.9, 0.8])
CARRIER = ([2000.0, 4000.0, 8000.0], [1.0, 0.95, 0.7])
UNBALANCE = ([0.01, 0.03, 0.05], [1.0, 0.9, 0.8])
NEAR_STANDSTILL = np.interp(2.0, [0.0, 5.0], [0.7, 1.0])
COOLING = {
    0: ([0.0, 0.1, 0.2, 0.5, 0.8, 1.0], [0.40, 0.50, 0.60, 0.80, 0.95, 1.0]),
    1: ([0.0, 0.1], [0.90, 1.0]),
    2: ([0.0], [1.0]),
}
# (multiple, seconds) by duty class: light, heavy.
POINTS = {0: [(1.1, 60.0), (1.2, 3.0)], 1: [(1.5, 60.0), (1.8, 3.0)]}


def curve(points, value):
    """Straight between the points, flat before the first, nothing beyond the last."""
    return 0.0 if value > points[0][-1] else float(np.interp(value, *points))


def ceilings(points):
    """Lines base*w + room over which no window's integral of (i/I)^2 may go: least concave ones through the points."""
    lines, corner = [], (0.0, 0.0)
    for multiple, seconds in sorted(points, key=lambda p: p[1]):
        charge = multiple**2 * seconds
        lines.append((corner, (seconds, charge)))
        corner = (seconds, charge)
    out = [(1.0, corner[1] - corner[0])]
    for (w0, c0), (w1, c1) in lines[1:]:
        base = (c1 - c0) / (w1 - w0)
        out.append((base, c0 - base * w0))
    return out


def smallest_rating(peak, seconds, load, period, points):
    """Of an endless cycle: `peak` for `seconds`, then `load` until the period ends."""
    rest = period - seconds
    total = peak**2 * seconds + load**2 * rest
    square = total / period
    # A window is best when it is one peak, or spans several of them; two periods are enough, as the mean is covered.
    for base, room in ceilings(points):
        for windows in range(0, 3):
            w = seconds + windows * period
            square = max(square, (peak**2 * seconds + windows * total) / (base * w + room))
            square = max(square, ((windows + 1) * total) / (base * (windows + 1) * period + room))
    return max(np.sqrt(square), peak / max(m for m, _ in points))


def margins(p, c):
    """Margins of all candidates of one position: a dict from check to an array."""
    rated = c["current"]
    factors = [curve(ALTITUDE, p["conditions.altitude"]), curve(AIR, p["conditions.air_temperature"])]
    factors.append(curve(CARRIER, p.get("conditions.carrier", 4000.0)))
    if p["conditions.mounting"] == 1:
        factors.append(0.95)
    factors.append(curve(UNBALANCE, p["supply.unbalance"]))
    factors = np.array(factors)
    together = {"multiply": factors.prod(), "add": max(0.0, 1.0 - (1.0 - factors).sum()), "lowest": factors.min()}
    k = c["combine"].copy()
    for word, value in together.items():
        k = np.where(c["word"] == word, value, k)
    left = k * rated
    load, motor = p["load.current"], p["motor.current"]
    peak = max(p["load.peak_current"], load)
    seconds = p["load.peak_time"]
    period = max(min(1.0 / p["load.starts"], 86400.0), seconds)
    rms = np.sqrt((peak**2 * seconds + load**2 * (period - seconds)) / period)
    need = np.array([smallest_rating(peak, seconds, load, period, POINTS[d]) for d in (0, 1)])[c["heavy"]]
    multiple = np.array([max([1.0] + [m for m, t in POINTS[d] if t >= seconds]) for d in (0, 1)])[c["heavy"]]
    dead = k == 0.0
    out = {
        "rating/motor-current-uncovered": rated / motor - 1.0,
        "rating/measured-current-uncovered": rated / load - 1.0,
        "rating/site-current-short": np.where(dead, -1.0, left / rms - 1.0),
        "rating/overload-short": np.where(dead, -1.0, left / need - 1.0),
        "rating/breakaway-short": np.where(dead, -1.0, left * multiple * NEAR_STANDSTILL / p["load.peak_current"] - 1.0),
        "rating/less-than-old": rated / p["old.rated_current"] - 1.0,
        "rating/motor-too-small": motor / (0.25 * rated) - 1.0,
    }
    base = p["motor.frequency"]
    top = p["speed.highest"]
    over = max(1.0, top / (base * min(1.0, p["supply.lowest"] / p["motor.voltage"])))
    out["speed/top-speed-short"] = np.full_like(rated, min(120.0 / top - 1.0, p["motor.breakdown_torque"] / over**2 / 1.3 - 1.0))
    slope = (460.0 / 60.0) / (p["motor.voltage"] / base)
    full = 460.0 * min(base / 60.0, 1.0) / p["motor.voltage"]
    out["motor/volts-per-hertz-differs"] = np.full_like(rated, 0.05 - max(abs(slope - 1.0), abs(full - 1.0)))
    x = p["speed.lowest"] / base
    if x < 0.95:
        allowed = float(np.interp(x, *COOLING[int(p["motor.cooling"])]))
        out["motor/hot-at-low-speed"] = np.full_like(rated, allowed / (load / motor) - 1.0)
    out["supply/voltage-outside-class"] = np.minimum(p["supply.lowest"] / c["low"] - 1.0, 1.0 - p["supply.highest"] / c["high"])
    out["supply/phase-missing-or-unbalanced"] = np.full_like(rated, 0.03 - p["supply.unbalance"])
    return {name: 100.0 * value for name, value in out.items()}


def main():
    root = pathlib.Path(__file__).resolve().parents[3]
    data = json.loads((root / "target/bench/sheet.json").read_text())
    candidates = data["candidates"]
    columns = {key: np.array([c[key] for c in candidates]) for key in ("current", "heavy", "low", "high")}
    columns["word"] = np.array([c["combine"] for c in candidates])
    columns["combine"] = np.zeros(len(candidates))
    start = time.perf_counter()
    answers = [margins(position, columns) for position in data["positions"]]
    seconds = time.perf_counter() - start
    ours = np.array([[np.nan if m is None else m for m in row] for row in data["margins"]], dtype=float)
    ours = ours.reshape(len(data["positions"]), len(candidates), -1)
    compared, worst, named = 0, 0.0, set()
    for at, answer in enumerate(answers):
        for name, values in answer.items():
            rust = ours[at, :, data["checks"].index(name)]
            both = ~np.isnan(rust)
            compared += int(both.sum())
            named.add(name)
            off = np.abs(rust[both] - values[both]) / np.maximum(1.0, np.abs(values[both]))
            if off.size and off.max() > worst:
                worst, where = float(off.max()), (name, at)
    print(f"{len(answers)} positions x {len(candidates)} candidates, {len(named)} checks; {compared} margins compared, worst {worst:.1e}")
    if named != set(data["timed"]):
        sys.exit(f"both sides time other checks: {sorted(named ^ set(data['timed']))}")
    print(f"CHECKS_PER_SECOND {sum(len(answer) for answer in answers) * len(candidates) / seconds:.0f}")
    if worst > CLOSE or compared < 100_000:
        sys.exit(f"the second opinion differs at {where}")


if __name__ == "__main__":
    main()
