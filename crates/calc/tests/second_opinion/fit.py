"""Second opinion on fitting a unit into a box, by other means than the program's.

Reads {"boxes": [...]} on stdin and prints {"results": [...]}. Another way than the program's: the box as a grid of millimetre
cells that are taken or not; a unit stands at a whole-millimetre position when none of the cells under its body and its
clearances is taken. Every position is tried. Growth is found by growing the plate and trying again, the obstacles to be taken
away by trying every set of them. Written for NumPy; all lengths are whole millimetres.
"""

import itertools
import json
import sys

import numpy as np

MARGIN = 6  # cells around everything: more than any clearance, so that no window leaves the grid


def turned(unit, turn):
    """Width, height and clearances (above, below, left, right) of the unit as it is turned."""
    above, below, left, right = unit["clear"]
    if turn == "upright":
        return unit["width"], unit["height"], (above, below, left, right)
    if turn == "left":  # the top points left
        return unit["height"], unit["width"], (right, left, above, below)
    return unit["height"], unit["width"], (left, right, below, above)


def windows(taken, width, height):
    """For every lower left corner: how many cells of a window of width x height are taken."""
    total = np.zeros((taken.shape[0] + 1, taken.shape[1] + 1), dtype=np.int32)
    total[1:, 1:] = taken.cumsum(0, dtype=np.int32).cumsum(1, dtype=np.int32)
    return total[width:, height:] - total[:-width, height:] - total[width:, :-height] + total[:-width, :-height]


def grid(plate, walls, unit, obstacles, depth):
    """Cells that bodies may not touch, cells that clearances may not touch, and the coordinates of the first cell."""
    x0, y0, x1, y1 = plate
    above, below, left, right = walls
    ox, oy = x0 - left - MARGIN, y0 - below - MARGIN
    shape = (x1 + right + MARGIN - ox, y1 + above + MARGIN - oy)
    body, zone = np.ones(shape, dtype=bool), np.ones(shape, dtype=bool)
    body[x0 - ox : x1 - ox, y0 - oy : y1 - oy] = False
    zone[x0 - left - ox : x1 + right - ox, y0 - below - oy : y1 + above - oy] = False
    for o in obstacles:
        l, b, w, h = o["rect"]
        cells = (slice(max(l - ox, 0), max(l + w - ox, 0)), slice(max(b - oy, 0), max(b + h - oy, 0)))
        if o["door"]:
            if unit["depth"] + unit["front"] + o["height"] > depth:
                body[cells] = True
        elif unit["stand_off"] is None or o["height"] > unit["stand_off"]:
            zone[cells] = True
    return body, zone


def counts(plate, box, obstacles):
    """Number of places in every turn that the unit allows."""
    unit = box["unit"]
    body, zone = grid(plate, box["walls"], unit, obstacles, box["depth"])
    result = []
    for turn in ("upright", "left", "right") if unit["may_turn"] else ("upright",):
        width, height, (above, below, left, right) = turned(unit, turn)
        w, h = width + left + right, height + below + above
        if w > zone.shape[0] or h > zone.shape[1]:
            result.append(0)
            continue
        zones = windows(zone, w, h)
        bodies = windows(body, width, height)[left : left + zones.shape[0], below : below + zones.shape[1]]
        result.append(int(((zones == 0) & (bodies == 0)).sum()))
    return result


def least_growth(box, sides):
    """The least growth at one of two sides, by halving; None where even far more does not help."""
    x1, y1 = box["plate"]
    enough_for_all = x1 + y1 + 100

    def fits(side, by):
        plate = {"right": (0, 0, x1 + by, y1), "left": (-by, 0, x1, y1), "above": (0, 0, x1, y1 + by), "below": (0, -by, x1, y1)}[side]
        return any(counts(plate, box, box["obstacles"]))

    best = None
    for side in sides:
        if not fits(side, enough_for_all if best is None else best):
            continue
        short, enough = 0, enough_for_all if best is None else best
        while enough - short > 1:
            middle = (short + enough) // 2
            short, enough = (short, middle) if fits(side, middle) else (middle, enough)
        best = enough
    return best


def fewest_removed(box):
    """The smallest set of movable obstacles whose removal leaves a place; the first in order of their numbers."""
    movable = [i for i, o in enumerate(box["obstacles"]) if o["movable"]]
    plate = (0, 0, *box["plate"])
    for size in range(len(movable) + 1):
        for gone in itertools.combinations(movable, size):
            if any(counts(plate, box, [o for i, o in enumerate(box["obstacles"]) if i not in gone])):
                return list(gone)
    return None


def opinion(box):
    found = counts((0, 0, *box["plate"]), box, box["obstacles"])
    deep = box["unit"]["depth"] + box["unit"]["front"] <= box["depth"]
    result = {"counts": found, "fits": any(found) and deep, "wider": 0, "taller": 0, "removed": []}
    if not any(found):
        result["wider"] = least_growth(box, ("right", "left"))
        result["taller"] = least_growth(box, ("above", "below"))
        result["removed"] = fewest_removed(box)
    return result


print(json.dumps({"results": [opinion(box) for box in json.load(sys.stdin)["boxes"]]}))
