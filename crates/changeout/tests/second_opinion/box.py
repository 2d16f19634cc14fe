"""Opens every DXF of a folder, audits it, and compares it with what `changeout box --json` says.

Usage: box.py FOLDER REPORT.json; prints one JSON object with what was found.
"""

import json
import math
import sys
from pathlib import Path

import ezdxf

HOLES = {"HOLE_NEW": ("drill", "drill larger"), "HOLE_KEPT": ("use again",), "HOLE_CLOSED": ("close",)}
MILLIMETRE = 4


def corner_of_plate(model):
    """Lower left corner, width and height of the outline on the layer PLATE."""
    corners = []
    for entity in model.query('LWPOLYLINE POLYLINE LINE[layer=="PLATE"]'):
        if entity.dxf.layer != "PLATE":
            continue
        if entity.dxftype() == "LINE":
            corners += [entity.dxf.start, entity.dxf.end]
        elif entity.dxftype() == "POLYLINE":
            corners += [v.dxf.location for v in entity.vertices]
        else:
            corners += [ezdxf.math.Vec3(p[0], p[1]) for p in entity.get_points()]
    # The key repeats the layer as a short sample; the plate is the largest extent that starts at the datum.
    return corners


def circles(model):
    """Circles on the layers of holes: (layer, x, y, diameter)."""
    found = []
    for circle in model.query("CIRCLE"):
        if circle.dxf.layer in HOLES:
            found.append((circle.dxf.layer, circle.dxf.center.x, circle.dxf.center.y, 2 * circle.dxf.radius))
    return found


def check(path, holes, distances):
    """What is wrong with one file."""
    document = ezdxf.readfile(path)
    audit = document.audit()
    wrong = [f"audit: {error.message}" for error in audit.errors] + [f"fixed: {fix.message}" for fix in audit.fixes]
    if document.header.get("$INSUNITS", 0) not in (0, MILLIMETRE):
        wrong.append(f"units are {document.header['$INSUNITS']}")
    model = document.modelspace()
    found = circles(model)
    if len(found) != len(holes):
        wrong.append(f"{len(found)} circles for {len(holes)} holes")
        return wrong, 0
    if not holes:
        return wrong, 0
    # The drawing's own origin: where hole 1 lies less its coordinates; every other hole must agree with it.
    first = holes[0]
    layers = [layer for layer, works in HOLES.items() if any(first["work"].startswith(w) for w in works)]
    starts = [(x - first["x"], y - first["y"]) for layer, x, y, d in found if layer in layers and abs(d - first["diameter"]) < 1e-6]
    fits = [s for s in starts if all(any(math.dist((x, y), (s[0] + h["x"], s[1] + h["y"])) < 1e-6 for _, x, y, _ in found) for h in holes)]
    if not fits:
        wrong.append("no origin brings all holes to their coordinates")
        return wrong, 0
    origin = fits[0]
    corners = corner_of_plate(model)
    if not any(math.dist((c.x, c.y), origin) < 1e-6 for c in corners):
        wrong.append("the plate has no corner at the origin of the coordinates")
    at = {h["number"]: (origin[0] + h["x"], origin[1] + h["y"]) for h in holes}
    drawn = {}
    for number, place in at.items():
        drawn[number] = min(((x, y) for _, x, y, _ in found), key=lambda c: math.dist(c, place))
    measured = 0
    for row in distances:
        straight = math.dist(drawn[row["from"]], drawn[row["to"]])
        measured += 1
        if abs(straight - row["straight"]) > 0.005 + 1e-9:
            wrong.append(f"{row['from']} to {row['to']}: {straight} drawn, {row['straight']} told")
    return wrong, measured


def main():
    folder, report = Path(sys.argv[1]), json.loads(Path(sys.argv[2]).read_text(encoding="utf-8"))
    result = {"files": 0, "holes": 0, "measured": 0, "wrong": []}
    stems = lambda name: "".join(c if c.isalnum() or c == "-" else "-" for c in name)
    for box in report["boxes"]:
        layout = box["layout"] or {"holes": [], "distances": [], "adapters": []}
        files = []
        if box["drawing"]:
            files.append((f"box-{stems(box['name'])}.dxf", layout["holes"], layout["distances"]))
        for adapter in layout["adapters"]:
            if adapter["drawing"]:
                files.append((f"adapter-{stems(adapter['tag'])}.dxf", adapter["holes"], []))
        for name, holes, distances in files:
            wrong, measured = check(folder / name, holes, distances)
            result["files"] += 1
            result["holes"] += len(holes)
            result["measured"] += measured
            result["wrong"] += [f"{name}: {w}" for w in wrong]
    json.dump(result, sys.stdout)


main()
