"""A second opinion on braking stops, by other means than the program's.

Reads {"stops": [...], "regulated": [...]} as JSON from standard input and prints the results in the same order.
Stops: an even ramp into a DC link with a capacitor, a chopper that switches on at one voltage and off at a lower one, a
resistor with one thermal time constant. Energy of the link, energy of the resistor and its rise are solved as differential
equations from one switching to the next. The shortest even stop is the one whose power just fits the resistor at the moment
at which the chopper switches on.
Regulated: the speed under the largest torque that power and torque limit allow, solved as a differential equation.
Units: s, rad/s, N m, kg m2, W, V, F, ohm, K.
"""

import json
import math
import sys

from scipy.integrate import solve_ivp
from scipy.optimize import brentq

TIGHT = {"rtol": 1e-8, "atol": 1e-9}


def power_into_link(c, set_time, t):
    """The share of the shaft power that arrives, at the time t of an even stop."""
    torque = c["inertia"] * c["speed"] / set_time - c["friction"]
    return max(0.0, c["passes"] * torque * c["speed"] * (1.0 - t / set_time))


def charge_time(c, set_time):
    """When the chopper first switches on, None if the link takes the whole stop."""
    room = 0.5 * c["capacitance"] * (c["on"] ** 2 - c["before"] ** 2)

    def full(_, y):
        return y[0] - room

    full.terminal = True
    s = solve_ivp(lambda t, _: [power_into_link(c, set_time, t)], (0.0, set_time), [0.0], events=full, **TIGHT)
    return s.t_events[0][0] if len(s.t_events[0]) else None


def simulate(c):
    """Energy in the resistor, its highest rise, switchings and the highest voltage."""
    cap, ohms, end = c["capacitance"], c["resistor"], c["time"]
    per_watt = c["rise"] / c["rated"]
    on_energy, off_energy = 0.5 * cap * c["on"] ** 2, 0.5 * cap * c["off"] ** 2
    t, y = 0.0, [0.5 * cap * c["before"] ** 2, 0.0, 0.0]
    chopper, switchings, hottest, highest = False, 0, 0.0, c["before"]
    while t < end * (1.0 - 1e-12):

        def slope(time, state, chopper=chopper):
            burnt = 2.0 * state[0] / (cap * ohms) if chopper else 0.0
            return [power_into_link(c, end, time) - burnt, burnt, (per_watt * burnt - state[2]) / c["constant"]]

        level = off_energy if chopper else on_energy

        def switch(_, state, level=level):
            return state[0] - level

        switch.terminal = True
        switch.direction = -1.0 if chopper else 1.0
        s = solve_ivp(slope, (t, end), y, events=switch, max_step=end / 50.0, **TIGHT)
        t, y = s.t[-1], list(s.y[:, -1])
        highest = max(highest, math.sqrt(2.0 * max(s.y[0]) / cap))
        hottest = max(hottest, max(s.y[2]))
        if s.status == 1:
            # On the level itself: the next stretch begins exactly there.
            y[0] = level
            chopper = not chopper
            switchings += 1
    return {"resistor": y[1], "rise": hottest, "switchings": switchings, "highest": highest}


def shortest(c):
    """The even stop that the resistor just holds: the power that arrives when the chopper switches on equals U^2/R."""
    fits = c["on"] ** 2 / c["resistor"]

    def surplus(set_time):
        at = charge_time(c, set_time)
        return -fits if at is None else power_into_link(c, set_time, at) - fits

    return brentq(surplus, c["time"] * 0.05, c["time"] * 20.0, xtol=1e-6)


def regulated(c):
    def slope(_, y):
        # The last speeds are those of the torque limit; zero divides nothing.
        w = max(y[0], 1e-9)
        torque = min(c["torque"], c["power"] / (c["passes"] * w))
        return [-(torque + c["friction"]) / c["inertia"]]

    def stands(_, y):
        return y[0]

    stands.terminal = True
    s = solve_ivp(slope, (0.0, 1e7), [c["speed"]], events=stands, method="LSODA", rtol=1e-9, atol=1e-9)
    return s.t_events[0][0]


def main():
    cases = json.load(sys.stdin)
    stops = [dict(simulate(c), shortest=shortest(c)) for c in cases["stops"]]
    json.dump({"stops": stops, "regulated": [regulated(c) for c in cases["regulated"]]}, sys.stdout)


main()
