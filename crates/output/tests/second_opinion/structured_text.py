"""A second reader and runner of the structured text that we print: written from IEC 61131-3, not from our code.

It reads text alone and knows nothing of the tree that it was printed from. Numbers without a type take that of what stands beside them.
Whole numbers wrap, which is counted; what has no answer raises a Fault.
"""

import re
import struct

BITS = {"BYTE": 8, "WORD": 16, "DWORD": 32}
WHOLE = {"INT": (16, True), "UINT": (16, False), "DINT": (32, True), "UDINT": (32, False)}
TYPES = ["BOOL", *BITS, *WHOLE, "REAL", "TIME"]
SECTIONS = {"VAR_INPUT": "in", "VAR_OUTPUT": "out", "VAR": "own", "VAR CONSTANT": "constant"}
STANDARD = {
    "R_TRIG": [("CLK", "BOOL", "in"), ("Q", "BOOL", "out"), ("M", "BOOL", "own")],
    "F_TRIG": [("CLK", "BOOL", "in"), ("Q", "BOOL", "out"), ("M", "BOOL", "own")],
    "TON": [("IN", "BOOL", "in"), ("PT", "TIME", "in"), ("Q", "BOOL", "out"), ("ET", "TIME", "out")],
    "TOF": [("IN", "BOOL", "in"), ("PT", "TIME", "in"), ("Q", "BOOL", "out"), ("ET", "TIME", "out")],
}
TOKEN = re.compile(
    r"""(?P<space>\s+|\(\*.*?\*\))
      | (?P<typed>(?:BYTE|WORD|DWORD|INT|UINT|DINT|UDINT)\#-?[0-9A-F\#_]+)
      | (?P<time>T\#-?\d+ms)
      | (?P<hex>16\#[0-9A-F_]+)
      | (?P<real>\d+\.\d+(?:E[+-]?\d+)?)
      | (?P<whole>\d+)
      | (?P<word>[A-Za-z_][A-Za-z0-9_]*)
      | (?P<sign>:=|=>|\.\.|<>|<=|>=|[-+*/=<>():;,.])""",
    re.X | re.S,
)
# Weakest first, after the standard's table of operators.
LEVELS = [["OR"], ["XOR"], ["AND"], ["=", "<>"], ["<", ">", "<=", ">="], ["+", "-"], ["*", "/", "MOD"]]


class Fault(Exception):
    """What stops a controller."""


class Unreadable(Exception):
    """Text that is not of the language."""


def single(value):
    """The nearest number of single precision."""
    try:
        return struct.unpack("<f", struct.pack("<f", value))[0]
    except OverflowError:
        raise Fault("not finite") from None


def tokens(text):
    found, at = [], 0
    while at < len(text):
        match = TOKEN.match(text, at)
        if not match:
            raise Unreadable(f"at {text[at:at + 30]!r}")
        at = match.end()
        if match.lastgroup != "space":
            word = match.group()
            found.append((match.lastgroup, word.upper() if match.lastgroup == "word" else word))
    return [*found, ("end", "")]


class Parser:
    """Recursive descent. Expressions: ["n", type or None, value], ["v", name], ["o", instance, pin], ["u", sign, x], ["b", sign, x, y],
    ["f", name, arguments]."""

    def __init__(self, text):
        self.tokens, self.at = tokens(text), 0

    @property
    def next(self):
        return self.tokens[self.at][1]

    def take(self, *wanted):
        kind, word = self.tokens[self.at]
        if wanted and word not in wanted:
            raise Unreadable(f"{word!r} where {wanted} was expected")
        self.at += 1
        return word

    def word(self):
        if self.tokens[self.at][0] != "word":
            raise Unreadable(f"{self.next!r} where a name was expected")
        return self.take()

    def units(self):
        units = []
        while self.tokens[self.at][0] != "end":
            kind = self.take("FUNCTION_BLOCK", "PROGRAM")
            name = self.word()
            variables = self.sections()
            body = self.statements("END_" + kind)
            self.take("END_" + kind)
            units.append({"kind": kind, "name": name, "variables": variables, "body": body})
        return units

    def sections(self):
        variables = []
        while self.next in ("VAR", "VAR_INPUT", "VAR_OUTPUT"):
            section = self.take()
            if section == "VAR" and self.next == "CONSTANT":
                section = "VAR " + self.take()
            while self.next != "END_VAR":
                name = self.word()
                self.take(":")
                kind = self.word()
                initial = None
                if self.next == ":=":
                    self.take()
                    initial = self.expression()
                self.take(";")
                variables.append((name, kind, SECTIONS[section], initial))
            self.take("END_VAR")
        return variables

    def statements(self, *ends):
        body = []
        while self.next not in ends:
            if self.next == ";":
                self.take()
            elif self.next == "RETURN":
                self.take(), self.take(";")
                body.append(["return"])
            elif self.next == "IF":
                body.append(self.branches())
            elif self.next == "CASE":
                body.append(self.case())
            else:
                body.append(self.assignment_or_call())
        return body

    def branches(self):
        branches, otherwise = [], []
        while self.next in ("IF", "ELSIF"):
            self.take()
            condition = self.expression()
            self.take("THEN")
            branches.append([condition, self.statements("ELSIF", "ELSE", "END_IF")])
        if self.next == "ELSE":
            self.take()
            otherwise = self.statements("END_IF")
        self.take("END_IF"), self.take(";")
        return ["if", branches, otherwise]

    def label(self):
        sign = -1 if self.next == "-" and self.take() else 1
        return sign * int(self.take())

    def case(self):
        self.take("CASE")
        selector, arms, otherwise = self.expression(), [], []
        self.take("OF")
        while self.next not in ("ELSE", "END_CASE"):
            spans = []
            while True:
                first = last = self.label()
                if self.next == "..":
                    self.take()
                    last = self.label()
                spans.append([first, last])
                if self.take(",", ":") == ":":
                    break
            arms.append([spans, self.arm()])
        if self.take("ELSE", "END_CASE") == "ELSE":
            otherwise = self.statements("END_CASE")
            self.take("END_CASE")
        self.take(";")
        return ["case", selector, arms, otherwise]

    def arm(self):
        body = []
        while self.next not in ("ELSE", "END_CASE", "-") and self.tokens[self.at][0] != "whole":
            before = self.at
            # One statement at a time: the next label ends the part.
            if self.next == ";":
                self.take()
            elif self.next == "RETURN":
                self.take(), self.take(";")
                body.append(["return"])
            else:
                body.append({"IF": self.branches, "CASE": self.case}.get(self.next, self.assignment_or_call)())
            assert self.at > before
        return body

    def assignment_or_call(self):
        name = self.word()
        if self.take(":=", "(") == ":=":
            value = self.expression()
            self.take(";")
            return ["assign", name, value]
        given, taken = [], []
        while self.next != ")":
            pin = self.word()
            if self.take(":=", "=>") == ":=":
                given.append([pin, self.expression()])
            else:
                taken.append([pin, self.word()])
            if self.next == ",":
                self.take()
        self.take(")"), self.take(";")
        return ["call", name, given, taken]

    def expression(self, level=0):
        if level == len(LEVELS):
            return self.unary()
        left = self.expression(level + 1)
        while self.next in LEVELS[level]:
            left = ["b", self.take(), left, self.expression(level + 1)]
        return left

    def unary(self):
        if self.next == "NOT":
            self.take()
            return ["u", "NOT", self.unary()]
        if self.next == "-":
            self.take()
            operand = self.unary()
            if operand[0] == "n" and operand[1] in (None, "REAL"):
                return ["n", operand[1], -operand[2]]
            return ["u", "-", operand]
        return self.primary()

    def primary(self):
        kind, word = self.tokens[self.at]
        self.at += 1
        if kind == "whole":
            return ["n", None, int(word)]
        if kind == "hex":
            return ["n", None, int(word[3:].replace("_", ""), 16)]
        if kind == "typed":
            name, digits = word.split("#", 1)
            return ["n", name, int(digits[3:].replace("_", ""), 16) if digits.startswith("16#") else int(digits)]
        if kind == "real":
            return ["n", "REAL", single(float(word))]
        if kind == "time":
            return ["n", "TIME", int(word[2:-2])]
        if word == "(":
            inner = self.expression()
            self.take(")")
            return inner
        if word in ("TRUE", "FALSE"):
            return ["n", "BOOL", int(word == "TRUE")]
        if kind != "word":
            raise Unreadable(f"{word!r} where a value was expected")
        if self.next == "(":
            self.take()
            arguments = [self.expression()]
            while self.take(",", ")") == ",":
                arguments.append(self.expression())
            return ["f", word, arguments]
        if self.next == ".":
            self.take()
            return ["o", word, self.word()]
        return ["v", word]
