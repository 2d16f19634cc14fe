"""Runs what structured_text.py has read, cycle by cycle."""

import struct

from structured_text import BITS, STANDARD, TYPES, WHOLE, Fault, Parser, Unreadable, single

COMPARE = {"=": lambda a, b: a == b, "<>": lambda a, b: a != b, "<": lambda a, b: a < b, "<=": lambda a, b: a <= b,
           ">": lambda a, b: a > b, ">=": lambda a, b: a >= b}
SWAP = {"AND": lambda a, b: a & b, "OR": lambda a, b: a | b, "XOR": lambda a, b: a ^ b}


def kept(kind, value):
    """The low bits of a whole number, of TIME or of bits, read in that type."""
    width, signed = WHOLE.get(kind) or ((32, True) if kind == "TIME" else (BITS[kind], False))
    value %= 1 << width
    return value - (1 << width) if signed and value >= 1 << (width - 1) else value


class Return(Exception):
    """RETURN."""


class Controller:
    def __init__(self, text, unit):
        self.units = {u["name"]: u for u in Parser(text).units()}
        self.now, self.wraps = 0, 0
        self.state = self.fresh(unit.upper())

    def fresh(self, name):
        """An instance: {"unit": name, "values": {...}, "kinds": {...}}."""
        values, kinds = {}, {}
        if name in STANDARD:
            for pin, kind, _ in STANDARD[name]:
                values[pin], kinds[pin] = 0, kind
            return {"unit": name, "values": values, "kinds": kinds, "since": None}
        for variable, kind, _, initial in self.units[name]["variables"]:
            kinds[variable] = kind
            if kind not in TYPES:
                values[variable] = self.fresh(kind)
            elif initial is None:
                values[variable] = 0.0 if kind == "REAL" else 0
            else:
                self.settle(initial, kind)
                values[variable] = initial[2]
        return {"unit": name, "values": values, "kinds": kinds}

    def cycle(self, elapsed, inputs):
        self.now += elapsed
        self.state["values"].update({name.upper(): value for name, value in inputs.items()})
        self.run(self.state)

    def run(self, instance):
        try:
            self.statements(self.units[instance["unit"]]["body"], instance)
        except Return:
            pass

    def statements(self, body, at):
        for statement in body:
            getattr(self, "do_" + statement[0])(at, *statement[1:])

    def do_return(self, at):
        raise Return

    def do_assign(self, at, target, value):
        at["values"][target] = self.value(value, at, at["kinds"][target])

    def do_if(self, at, branches, otherwise):
        for condition, body in branches:
            if self.value(condition, at, "BOOL"):
                return self.statements(body, at)
        return self.statements(otherwise, at)

    def do_case(self, at, selector, arms, otherwise):
        value = self.value(selector, at, None)
        for spans, body in arms:
            if any(first <= value <= last for first, last in spans):
                return self.statements(body, at)
        return self.statements(otherwise, at)

    def do_call(self, at, name, given, taken):
        instance = at["values"][name]
        for pin, value in given:
            instance["values"][pin] = self.value(value, at, instance["kinds"][pin])
        if instance["unit"] in STANDARD:
            self.standard(instance)
        else:
            self.run(instance)
        for pin, target in taken:
            at["values"][target] = instance["values"][pin]

    def standard(self, instance):
        v = instance["values"]
        if instance["unit"] == "R_TRIG":
            v["Q"], v["M"] = int(v["CLK"] and not v["M"]), v["CLK"]
        elif instance["unit"] == "F_TRIG":
            v["Q"], v["M"] = int(not v["CLK"] and not v["M"]), int(not v["CLK"])
        elif instance["unit"] == "TON":
            if not v["IN"]:
                instance["since"], v["Q"], v["ET"] = None, 0, 0
            else:
                instance["since"] = self.now if instance["since"] is None else instance["since"]
                passed = self.now - instance["since"]
                v["Q"], v["ET"] = int(passed >= v["PT"]), max(min(passed, v["PT"]), 0)
        elif v["IN"]:
            instance["since"], v["Q"], v["ET"] = None, 1, 0
        elif v["Q"]:
            instance["since"] = self.now if instance["since"] is None else instance["since"]
            passed = self.now - instance["since"]
            v["Q"], v["ET"] = int(passed < v["PT"]), max(min(passed, v["PT"]), 0)

    def kind(self, e, at):
        """The type of an expression; None for a number that does not say it."""
        if e[0] == "n":
            return e[1]
        if e[0] == "v":
            return at["kinds"][e[1]]
        if e[0] == "o":
            return at["values"][e[1]]["kinds"][e[2]]
        if e[0] == "u":
            return self.kind(e[2], at)
        if e[0] == "b":
            return "BOOL" if e[1] in COMPARE else self.kind(e[2], at) or self.kind(e[3], at)
        name, arguments = e[1], e[2]
        if name == "TRUNC":
            return "DINT"
        if "_TO_" in name:
            return name.split("_TO_")[1]
        return self.kind(arguments[1 if name == "SEL" else 0], at)

    def settle(self, e, kind):
        """Gives a number without a type that of what it stands beside."""
        if e[0] == "n" and e[1] is None:
            if kind not in WHOLE and kind not in BITS:
                raise Unreadable(f"the number {e[2]} where {kind} was expected")
            if kept(kind, e[2]) != e[2]:
                raise Unreadable(f"the number {e[2]} does not fit into {kind}")
            e[1] = kind

    def fit(self, kind, value):
        low = kept(kind, value)
        self.wraps += low != value
        return low

    def value(self, e, at, wanted):
        if wanted:
            self.settle(e, wanted)
            if self.kind(e, at) != wanted:
                raise Unreadable(f"{self.kind(e, at)} where {wanted} was expected: {e}")
        if e[0] == "n":
            return e[2]
        if e[0] == "v":
            return at["values"][e[1]]
        if e[0] == "o":
            return at["values"][e[1]]["values"][e[2]]
        if e[0] == "u":
            return self.unary(e, at)
        return self.binary(e, at) if e[0] == "b" else self.function(e[1], e[2], at)

    def unary(self, e, at):
        kind = self.kind(e[2], at)
        value = self.value(e[2], at, kind)
        if e[1] == "-":
            return -value if kind == "REAL" else self.fit(kind, -value)
        return 1 - value if kind == "BOOL" else value ^ ((1 << BITS[kind]) - 1)

    def binary(self, e, at):
        sign, kind = e[1], self.kind(e[2], at) or self.kind(e[3], at)
        a, b = self.value(e[2], at, kind), self.value(e[3], at, kind)
        if sign in COMPARE:
            return int(COMPARE[sign](a, b))
        if sign in SWAP:
            return SWAP[sign](a, b)
        if sign in ("/", "MOD") and b == 0:
            raise Fault("divided by zero")
        if kind == "REAL":
            return single({"+": lambda: a + b, "-": lambda: a - b, "*": lambda: a * b, "/": lambda: a / b}[sign]())
        quotient = abs(a) // abs(b) * (1 if (a < 0) == (b < 0) else -1) if sign in ("/", "MOD") else 0
        return self.fit(kind, {"+": a + b, "-": a - b, "*": a * b, "/": quotient, "MOD": a - b * quotient}[sign])

    def function(self, name, arguments, at):
        kinds = [self.kind(a, at) for a in arguments]
        if name in ("SHL", "SHR"):
            bits, places = self.value(arguments[0], at, kinds[0]), self.value(arguments[1], at, kinds[1] or "INT")
            if places < 0:
                raise Fault("negative shift")
            return kept(kinds[0], bits << min(places, 64)) if name == "SHL" else bits >> places
        values = [self.value(a, at, k) for a, k in zip(arguments, kinds)]
        if name == "ABS":
            return abs(values[0]) if kinds[0] == "REAL" else self.fit(kinds[0], abs(values[0]))
        if name == "MIN":
            return values[1] if values[1] < values[0] else values[0]
        if name == "MAX":
            return values[1] if values[1] > values[0] else values[0]
        if name == "LIMIT":
            raised = values[0] if values[1] < values[0] else values[1]
            return values[2] if values[2] < raised else raised
        if name == "SEL":
            return values[2] if values[0] else values[1]
        if name == "TRUNC":
            return self.whole("DINT", int(values[0]))
        return self.convert(*name.split("_TO_"), values[0])

    def whole(self, kind, value):
        if kept(kind, value) != value:
            raise Fault("out of range")
        return value

    def convert(self, source, target, value):
        if (source, target) == ("DWORD", "REAL"):
            number = struct.unpack("<f", struct.pack("<I", value))[0]
            if number != number or abs(number) == float("inf"):
                raise Fault("not finite")
            return number
        if (source, target) == ("REAL", "DWORD"):
            return struct.unpack("<I", struct.pack("<f", value))[0]
        if target == "REAL":
            return single(float(value))
        if source == "REAL":
            return self.whole(target, round(value))  # Python's round takes halves to the even neighbour too
        if source in WHOLE and target in WHOLE:
            return self.fit(target, value)
        return kept(target, value)
