"""Runs the printed block through its test vectors: python replay.py BLOCK TEXT.st SCANS.csv VECTORS.csv, in fours. Prints one JSON object a four.

The text is read and run by the reader and runner of crates/output/tests/second_opinion, which know nothing of our program. Every scan of every
vector is given to the block, from power-up on, and every word that it puts out is compared; the last scan of each vector has to be its line
in the table of vectors, cell by cell.
"""

import csv
import json
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[3] / "output/tests/second_opinion"))

from controller import Controller  # noqa: E402
from structured_text import Fault  # noqa: E402


def table(path):
    with open(path, newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def named(row, verb):
    """Cells of the columns that begin with the verb, by the variable behind it."""
    return {head.split(" ", 1)[1]: int(cell) for head, cell in row.items() if head.startswith(verb + " ")}


def replay(block, text, scans, vectors):
    controller = Controller(Path(text).read_text(encoding="utf-8"), block)
    settled = {row["number"]: row for row in table(vectors)}
    wrong, compared, now, last = [], 0, None, {}
    for row in table(scans):
        if row["number"] != now:
            # Power-up: a fresh instance, and time from nought.
            now, controller.now, controller.state = row["number"], 0, controller.fresh(block.upper())
        about = f"vector {now}, scan {row['scan']}"
        given = {**named(row, "write"), **named(row, "answer"), **controller_inputs(controller)}
        try:
            controller.cycle(int(row["ms"]), given)
        except Fault as fault:
            wrong.append(f"{about}: {fault}")
            continue
        values = controller.state["values"]
        for name, expected in {**named(row, "expect"), **named(row, "sent")}.items():
            compared += 1
            if values[name.upper()] != expected:
                wrong.append(f"{about}: {name} is {values[name.upper()]}, {expected} expected")
        last[now] = {name: values[name.upper()] for name in {**named(row, "expect"), **named(row, "sent")}}
    lines = 0
    for number, row in settled.items():
        lines += 1
        for name, expected in {**named(row, "expect"), **named(row, "sent")}.items():
            if last.get(number, {}).get(name) != expected:
                wrong.append(f"vector {number} ({row['before']}: {row['what']}): {name} settles at {last.get(number, {}).get(name)}, {expected} expected")
    if set(last) != set(settled):
        wrong.append("the two tables hold other vectors")
    return {"vectors": lines, "compared": compared, "wraps": controller.wraps, "differ": len(wrong), "wrong": wrong[:5]}


def controller_inputs(controller):
    """The link stands; its name is that of the only BOOL among the inputs."""
    unit = controller.units[controller.state["unit"]]
    return {name: 1 for name, kind, section, _ in unit["variables"] if section == "in" and kind == "BOOL"}


arguments = sys.argv[1:]
for at in range(0, len(arguments), 4):
    print(json.dumps(replay(*arguments[at:at + 4])))
