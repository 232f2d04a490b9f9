"""What a user would write instead: reads a pattern sheet, measures every seam, offsets every piece, writes.

    python by_hand.py COAT.svg NEW.svg

It does not recut anything: no seam moves, no piece is cut, joined or checked, darts have no caps, corners are mitred.
The seamlines are read as curves and flattened within 0.01 mm for the offsets.
"""

import math
import re
import sys
import xml.etree.ElementTree as tree

from shapely.geometry import Polygon
from svgpathtools import Line, parse_path

WITHIN = 0.01
SVG = "{http://www.w3.org/2000/svg}"


def edges_of(sheet):
    """The edges of each piece, as paths with what is said of them."""
    pieces = {}
    for group in tree.parse(sheet).getroot().iter(SVG + "g"):
        if group.get("data-kind") != "piece":
            continue
        paths = [path for path in group.iter(SVG + "path") if path.get("data-kind") == "edge"]
        pieces[group.get("id")] = [(path, parse_path(path.get("d"))) for path in paths]
    return pieces


def flattened(path):
    """Points of a path, so close that no chord is further off than allowed (a chord of n parts is off by at most
    the largest second difference of the control points over 8 n², times the degree's factor)."""
    points = [path[0].start]
    for segment in path:
        count = 1
        if not isinstance(segment, Line):
            control = segment.bpoints()
            bend = max(abs(a - 2 * b + c) for a, b, c in zip(control, control[1:], control[2:]))
            degree = len(control) - 1
            count = max(1, math.ceil(math.sqrt(degree * (degree - 1) * bend / (8 * WITHIN))))
        points += [segment.point(i / count) for i in range(1, count + 1)]
    return points


def outline(edges):
    """The ring of a piece whose edges are drawn in any order and direction."""
    left = [flattened(path) for _, path in edges]
    ring = left.pop(0)
    while left:
        ends = [(abs(run[at] - ring[-1]), i, at) for i, run in enumerate(left) for at in (0, -1)]
        _, i, at = min(ends)
        run = left.pop(i)
        ring += (run if at == 0 else run[::-1])[1:]
    return [(point.real, point.imag) for point in ring]


def seams(pieces):
    """Both sides of each seam that is declared, as lists of paths."""
    by_name = {path.get("id"): d for edges in pieces.values() for path, d in edges}
    found = []
    for edges in pieces.values():
        for path, d in edges:
            for layer in filter(None, (path.get("data-sewn-to") or "").split(";")):
                names = re.sub(r"\bfrom \S+", "", layer).split()
                other = [by_name[name] for name in names if name in by_name]
                found.append(([d], other))
    return found


def offset(ring, by=15):
    return Polygon(ring).buffer(by, join_style="mitre", mitre_limit=10)


def drawn(polygon):
    points = " L".join(f"{x:.6f} {y:.6f}" for x, y in polygon.exterior.coords[:-1])
    return f'<path d="M{points} Z"/>'


def main(sheet, new):
    pieces = edges_of(sheet)
    for one, other in seams(pieces):
        lengths = [sum(path.length() for path in side) for side in (one, other)]
        print(*(f"{length:.3f}" for length in lengths), file=sys.stderr)
    cut = [drawn(offset(outline(edges))) for edges in pieces.values()]
    with open(new, "w") as file:
        file.write('<svg xmlns="http://www.w3.org/2000/svg" width="2000mm" viewBox="0 0 2000 2000">')
        file.write("".join(cut) + "</svg>\n")


if __name__ == "__main__":
    main(*sys.argv[1:])
