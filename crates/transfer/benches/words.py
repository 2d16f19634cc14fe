"""The proof of benches/words.rs in plain Python: plain registers behind the block against CiA 402 in velocity mode, 60 Hz and four poles.

Drives, block and loops were written once more by hand, for this one pair: every value of every number both ways, every pattern of the status
word, and every pattern of the command word, from each state and in lockstep with its meaningful bits alone. What comes out must be the same:
as many values, none that differs, the same greatest error.
"""

import math
import time

FULL_HZ, OLD_STEP, NEW_STEP = 60.0, 0.01, 1.0 / 30.0
READY, SWITCHED_ON, RUNNING, STOPPING, QUICK, DISABLED, FAULT = range(7)
SETTLED, STEP_SCANS = 16, 8


def signed(word):
    return word - 65536 if word > 32767 else word


def nearest(value):
    """Halves away from nought."""
    return math.floor(value + 0.5) if value >= 0 else -math.floor(-value + 0.5)


def held_within(low, value, high):
    return max(low, min(value, high))


class OldDrive:
    """Run by a level, reverse by a bit, reset by a level."""

    def __init__(self):
        self.state, self.target, self.output, self.command = READY, 0.0, 0.0, 0

    def obey(self, command, setpoint):
        self.command, self.target = command, min(setpoint * OLD_STEP, FULL_HZ)
        if self.state == FAULT:
            if command & 8:
                self.state = READY
        elif command & 1:
            self.state = RUNNING
        elif self.state == RUNNING:
            self.state = STOPPING
        elif self.state == STOPPING and self.output == 0.0:
            self.state = READY
        self.output = self.goal() if self.state == RUNNING else 0.0

    def goal(self):
        return -self.target if self.command & 2 else self.target

    def driven(self):
        return self.state in (RUNNING, STOPPING)

    def trip(self):
        self.state, self.output = FAULT, 0.0

    def status(self):
        at_speed = self.state == RUNNING and abs(self.output - self.goal()) <= 0.5 + 1e-9
        return self.driven() | (self.output < 0) << 1 | at_speed << 2 | (self.state == FAULT) << 3


class NewDrive:
    """The states of CiA 402."""

    def __init__(self):
        self.state, self.target, self.output = DISABLED, 0.0, 0.0
        self.command, self.before = 0x06, None

    def obey(self, command, setpoint):
        self.command = command
        self.target = held_within(-FULL_HZ, signed(setpoint) * NEW_STEP, FULL_HZ)
        on, enable, coast, quick = command & 1, command & 8, not command & 2, not command & 4
        if self.state == FAULT:
            if command & 0x80 and self.before is not None and not self.before & 0x80:
                self.state = DISABLED
        elif coast:
            self.state = DISABLED
        elif quick:
            if self.state in (RUNNING, STOPPING):
                self.state = QUICK
            elif not (self.state == QUICK and self.output != 0.0):
                self.state = DISABLED
        elif self.state == DISABLED:
            self.state = DISABLED if on else READY
        elif self.state == READY:
            self.state = SWITCHED_ON if on else READY
        elif self.state == SWITCHED_ON:
            self.state = READY if not on else RUNNING if enable else SWITCHED_ON
        elif self.state == RUNNING:
            self.state = RUNNING if on and enable else STOPPING
        elif self.state == STOPPING:
            if on and enable:
                self.state = RUNNING
            elif self.output == 0.0:
                self.state = SWITCHED_ON if on else READY
        elif self.state == QUICK and self.output == 0.0:
            self.state = DISABLED
        if self.state == RUNNING:
            if not command & 0x10:
                self.output = 0.0
            elif command & 0x20:
                self.output = self.goal()
        else:
            self.output = 0.0
        self.before = command

    def goal(self):
        return 0.0 if self.command & 0x100 or not self.command & 0x40 else self.target

    def driven(self):
        return self.state in (RUNNING, STOPPING, QUICK)

    def trip(self):
        self.state, self.output = FAULT, 0.0

    def status(self):
        at_speed = self.state == RUNNING and abs(self.output - self.goal()) <= 0.5 + 1e-9
        quick = self.before is not None and not self.command & 4 or self.state == QUICK
        return (
            (self.state not in (DISABLED, FAULT))
            | (self.driven() or self.state == SWITCHED_ON) << 1
            | self.driven() << 2
            | (self.state == FAULT) << 3
            | 1 << 4
            | (not quick) << 5
            | (self.state == DISABLED) << 6
            | 1 << 9
            | at_speed << 10
        )

    def speed(self):
        return nearest(self.output / NEW_STEP) & 0xFFFF


class Block:
    """What the printed block does for this pair, one scan of 100 ms after the other."""

    def __init__(self):
        self.reset_out, self.waited = False, None

    def scan(self, command, setpoint, status, speed):
        faulted, driven, now = bool(status & 8), bool(status & 4), signed(speed)
        held = command & 1
        reset = bool(command & 8) and faulted
        line = (setpoint * 3 + 5) // 10
        target = held_within(-1800, -line if command & 2 else line, 1800)
        go = held and not faulted
        # An on-delay of 500 ms.
        self.waited = (0 if self.waited is None else self.waited + 100) if self.reset_out else None
        self.reset_out = reset and not (self.waited is not None and self.waited >= 500)
        told = 0x76 | (status & 1) | (bool(go and status & 2) << 3) | (self.reset_out << 7)
        shown = held_within(-3600, now, 3600)
        shown = held_within(0, abs(nearest(shown * 10 / 3)), 65535)
        at_speed = bool(held) and driven and abs(now - target) <= 15
        return told, target & 0xFFFF, driven | (now < 0) << 1 | at_speed << 2 | faulted << 3, shown


class Rig:
    def __init__(self):
        self.old, self.new, self.block = OldDrive(), NewDrive(), Block()

    def scan(self, command, setpoint):
        self.old.obey(command, setpoint)
        *self.told, self.status, self.speed = self.block.scan(command, setpoint, self.new.status(), self.new.speed())
        self.new.obey(*self.told)


class Proof:
    def __init__(self):
        self.tried, self.differ, self.error = 0, 0, {"setpoint": 0.0, "speed": 0.0}

    def take(self, name, gone, allowed):
        if abs(gone) > allowed:
            self.differ += 1
        else:
            self.error[name] = max(self.error[name], abs(gone))

    def setpoint(self):
        for turn in (0, 2):
            rig = Rig()
            for command in (turn, 1 | turn):
                for _ in range(STEP_SCANS):
                    rig.scan(command, 0)
            for raw in range(65536):
                self.tried += 1
                rig.scan(1 | turn, raw)
                at_end = abs(rig.old.output) >= FULL_HZ - NEW_STEP
                self.take("setpoint", rig.new.output - rig.old.output, NEW_STEP * (1.02 if at_end else 0.52) + FULL_HZ * 1e-6)

    def actual(self):
        rig = Rig()
        status = rig.new.status()
        for raw in range(65536):
            self.tried += 1
            shown = rig.block.scan(0, 0, status, raw)[3] * OLD_STEP
            real = abs(signed(raw) * NEW_STEP)
            if real > min(65535.5 * OLD_STEP, 2 * FULL_HZ):
                continue
            self.take("speed", shown - real, OLD_STEP * 0.52 + real * 1e-6 + 1e-9)

    def states(self):
        rig = Rig()
        for raw in range(65536):
            self.tried += 1
            self.differ += (rig.block.scan(0, 0, raw, rig.new.speed())[2] ^ raw) & 8 != 0

    def commands(self):
        half, near = 3000, NEW_STEP + OLD_STEP + 30e-6
        for start in range(4):
            for pattern in (0, 1, 2, 3, 8, 9, 10, 11):
                self.tried += 1
                rig = Rig()
                for command in ((), (0,), (0, 1), (0, 1))[start]:
                    for _ in range(STEP_SCANS):
                        rig.scan(command, half)
                if start == 3:
                    rig.old.trip(), rig.new.trip()
                    for _ in range(STEP_SCANS):
                        rig.scan(1, half)
                for _ in range(SETTLED):
                    rig.scan(pattern, half)
                old, new = rig.old, rig.new
                agree = old.driven() == new.driven() and (old.state == FAULT) == (new.state == FAULT)
                agree = agree and abs(old.output - new.output) <= near and old.status() == rig.status
                self.differ += not agree

    def lockstep(self):
        whole, bare = Rig(), Rig()
        for pattern in range(65536):
            self.tried += 1
            whole.scan(pattern, 3000)
            bare.scan(pattern & 0xB, 3000)
            same = (whole.told, whole.status, whole.speed, whole.new.state) == (bare.told, bare.status, bare.speed, bare.new.state)
            self.differ += not same or whole.old.state != bare.old.state


def main():
    began = time.perf_counter()
    proof = Proof()
    for part in (proof.setpoint, proof.actual, proof.states, proof.commands, proof.lockstep):
        part()
    took = time.perf_counter() - began
    assert proof.differ == 0, proof.differ
    print(f"VALUES {proof.tried}")
    print(f"SETPOINT_ERROR_HZ {proof.error['setpoint']:.9f}")
    print(f"SPEED_ERROR_HZ {proof.error['speed']:.9f}")
    print(f"CHECKS_PER_SECOND {proof.tried / took:.0f}")


main()
