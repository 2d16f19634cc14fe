"""Reads DXF and SVG files with readers that are not ours: says what is in them and what it measures. JSON in, JSON out."""

import io
import itertools
import json
import math
import sys
import xml.etree.ElementTree as tree

import ezdxf
from ezdxf import recover
from ezdxf.lldxf.encoding import decode_dxf_unicode


def words(entity):
    """What a person reads; the strict reader leaves the escapes to its caller."""
    return decode_dxf_unicode(entity.plain_text())


def dimension_line(doc, dimension):
    """Distance of the dimension line's ends, taken from the tips of the two arrows in the block."""
    arrows = [entity for entity in doc.blocks.get(dimension.dxf.geometry) if entity.dxftype() == "SOLID"]
    one, other = (arrow.dxf.vtx0 for arrow in arrows)
    return one.distance(other)


def read_dimension(doc, dimension):
    block = doc.blocks.get(dimension.dxf.geometry)
    texts = [words(entity) for entity in block if entity.dxftype() == "TEXT"]
    return {
        "measure": dimension.get_measurement(),
        "line": dimension_line(doc, dimension),
        "shown": texts[0] if texts else None,
        "pieces": len(block),
    }


def read(case):
    # The strict reader first: it raises on what the other one mends in silence.
    doc = ezdxf.read(io.StringIO(case["dxf"]))
    auditor = doc.audit()
    mended, second = recover.read(io.BytesIO(case["dxf"].encode("ascii")))
    space = doc.modelspace()
    circles = list(space.query("CIRCLE"))
    centres = [circle.dxf.center for circle in circles]
    root = tree.fromstring(case["svg"])
    polylines = list(space.query("POLYLINE"))
    assert all(len(line) >= 2 for line in polylines)
    assert all(math.isfinite(v) for line in space.query("LINE") for v in (*line.dxf.start, *line.dxf.end))
    return {
        "version": doc.dxfversion,
        "errors": [error.message for error in [*auditor.errors, *second.errors]],
        "fixes": [fix.message for fix in [*auditor.fixes, *second.fixes]],
        "layers": [layer.dxf.name for layer in doc.layers],
        "circles": [
            {"layer": circle.dxf.layer, "x": circle.dxf.center.x, "y": circle.dxf.center.y, "diameter": 2 * circle.dxf.radius}
            for circle in circles
        ],
        "distances": [one.distance(other) for one, other in itertools.combinations(centres, 2)],
        "dimensions": [read_dimension(doc, dimension) for dimension in space.query("DIMENSION")],
        "texts": [words(text) for text in space.query("TEXT")],
        "svg_root": root.tag,
    }


if __name__ == "__main__":
    question = json.load(sys.stdin)
    json.dump({"results": [read(case) for case in question["cases"]]}, sys.stdout)
