"""Second opinion on the equivalent circuit of an induction motor.

Reads {"cases": [...]} on stdin and prints {"results": [...]}. Another way than the program's: the circuit as a nodal
admittance matrix solved with numpy, the breakdown torque by numerical search, the slip of a torque by root finding.
Written for NumPy and SciPy; the versions stand in the project's Python requirements.
"""

import json
import sys

import numpy as np
from scipy.optimize import brentq, minimize_scalar


def solve(case, slip):
    """Currents and powers of one case at a slip, from nodal analysis: node 0 terminal, 1 air gap, 2 behind the rotor leakage."""
    k = case["frequency"] / case["reactance_frequency"]
    y1 = 1 / complex(case["r1"], k * case["x1"])
    ym = 1 / complex(0, k * case["xm"]) + (1 / case["iron"] if case["iron"] else 0)
    y2x = 1 / complex(0, k * case["x2"])
    y2r = slip / case["r2"]
    y = np.array([[y1, -y1, 0], [-y1, y1 + ym + y2x, -y2x], [0, -y2x, y2x + y2r]], dtype=complex)
    u = case["voltage"] / np.sqrt(3)
    inner = np.linalg.solve(y[1:, 1:], -y[1:, 0] * u)
    volts = np.concatenate([[u], inner])
    i1 = (y @ volts)[0]
    e, er = volts[1], volts[2]
    i2 = er * y2r
    power = 3 * u * np.conj(i1)
    gap = 3 * (er * np.conj(i2)).real
    omega_s = 4 * np.pi * case["frequency"] / case["poles"]
    output = gap * (1 - slip) - case["mechanical_loss"]
    return {
        "current": abs(i1),
        "rotor_current": abs(i2),
        "power_factor": power.real / abs(power),
        "input": power.real,
        "reactive": power.imag,
        "stator_loss": 3 * abs(i1) ** 2 * case["r1"],
        "iron_loss": 3 * abs(e) ** 2 / case["iron"] if case["iron"] else 0.0,
        "rotor_loss": 3 * abs(i2) ** 2 * case["r2"],
        "gap": gap,
        "output": output,
        "developed_torque": gap / omega_s,
        "shaft_torque": output / (omega_s * (1 - slip)),
        "speed": omega_s * (1 - slip),
    }


def breakdown(case, sign):
    """The highest torque (its magnitude) for positive or negative slip: a coarse scan, then a bounded search around its top."""
    torque = lambda log_slip: -sign * solve(case, sign * np.exp(log_slip))["developed_torque"]
    grid = np.linspace(np.log(1e-4), np.log(50), 400)
    top = int(np.argmin([torque(g) for g in grid]))
    found = minimize_scalar(torque, bounds=(grid[max(top - 1, 0)], grid[min(top + 1, len(grid) - 1)]), method="bounded", options={"xatol": 1e-9})
    return -found.fun, np.exp(found.x)


def opinion(case):
    result = solve(case, case["slip"])
    driving, slip_k = breakdown(case, 1)
    generating, _ = breakdown(case, -1)
    result["breakdown_torque"], result["generating_torque"] = driving, generating
    wanted = case["part"] * driving
    result["part_slip"] = brentq(lambda s: solve(case, s)["developed_torque"] - wanted, 0, slip_k, xtol=1e-16, rtol=1e-14)
    return result


if __name__ == "__main__":
    cases = json.load(sys.stdin)["cases"]
    json.dump({"results": [opinion(case) for case in cases]}, sys.stdout)
