"""Reads every DXF of a build back with ezdxf and holds it against job.json with shapely.

Usage: dxf_files.py JOB_FOLDER...
Each file must audit with 0 errors and 0 fixes; be R2000 in millimetres; hold only closed LWPOLYLINEs, CIRCLEs and TEXT;
have no two equal or zero-length entities on a layer; lie with its datum corner at 0, 0; and its areas must equal those
of job.json to 1e-6 relative.
"""
import json
import math
import sys
from pathlib import Path

import ezdxf
from shapely.geometry import Polygon
from shapely.validation import explain_validity

TOLERANCE = 1e-6


def arc_points(start, end, bulge, steps=720):
    """Points of an arc from its bulge (tan of a quarter of the sweep), without its end."""
    (x0, y0), (x1, y1) = start, end
    if bulge == 0:
        return [start]
    chord = math.hypot(x1 - x0, y1 - y0)
    sweep = 4 * math.atan(bulge)
    radius = chord / (2 * math.sin(sweep / 2))
    rise = chord * (1 - bulge * bulge) / (4 * bulge)
    cx = (x0 + x1) / 2 - (y1 - y0) / chord * rise
    cy = (y0 + y1) / 2 + (x1 - x0) / chord * rise
    begin = math.atan2(y0 - cy, x0 - cx)
    return [
        (cx + abs(radius) * math.cos(begin + sweep * k / steps), cy + abs(radius) * math.sin(begin + sweep * k / steps))
        for k in range(steps)
    ]


def polygon(vertices):
    points = []
    for (x, y, bulge), (nx, ny, _) in zip(vertices, vertices[1:] + vertices[:1]):
        points += arc_points((x, y), (nx, ny), bulge)
    return Polygon(points)


def segment_area(vertices):
    """Chords by the shoelace sum plus the exact circular segments: no flattening."""
    total = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1]):
        total += (x0 * y1 - x1 * y0) / 2
        if bulge:
            sweep = 4 * math.atan(bulge)
            radius = math.hypot(x1 - x0, y1 - y0) / (2 * math.sin(sweep / 2))
            total += radius * radius * (sweep - math.sin(sweep)) / 2
    return total


def close(a, b):
    return abs(a - b) <= TOLERANCE * max(abs(a), abs(b), 1.0)


def entities(path, faults):
    drawing = ezdxf.readfile(path)
    audit = drawing.audit()
    if audit.errors or audit.fixes:
        faults.append(f"{path.name}: audit finds {len(audit.errors)} errors, {len(audit.fixes)} fixes")
    if drawing.dxfversion != "AC1015":
        faults.append(f"{path.name}: version {drawing.dxfversion}")
    if drawing.units != 4:
        faults.append(f"{path.name}: units {drawing.units}, not millimetres")
    layers, seen = {}, set()
    for entity in drawing.modelspace():
        kind, layer = entity.dxftype(), entity.dxf.layer
        if layer not in drawing.layers:
            faults.append(f"{path.name}: layer {layer} is not declared")
        if kind == "LWPOLYLINE":
            if not entity.closed:
                faults.append(f"{path.name}: an open line on {layer}")
            vertices = [(x, y, b) for x, y, b in entity.get_points("xyb")]
            for a, b in zip(vertices, vertices[1:] + vertices[:1]):
                if math.hypot(a[0] - b[0], a[1] - b[1]) < 1e-6:
                    faults.append(f"{path.name}: a segment of no length on {layer}")
            key = (layer, frozenset((round(x, 6), round(y, 6)) for x, y, _ in vertices))
            layers.setdefault(layer, []).append(vertices)
        elif kind == "CIRCLE":
            centre, radius = entity.dxf.center, entity.dxf.radius
            key = (layer, round(centre.x, 6), round(centre.y, 6), round(radius, 6))
            layers.setdefault(layer, []).append((centre.x, centre.y, radius))
        elif kind == "TEXT":
            if layer != "TEXT_NOT_CUT":
                faults.append(f"{path.name}: text on {layer}")
            continue
        else:
            faults.append(f"{path.name}: a {kind} on {layer}")
            continue
        if key in seen:
            faults.append(f"{path.name}: the same shape twice on {layer}")
        seen.add(key)
    return layers


def check_part(folder, part, faults):
    path = folder / part["dxf"]
    if not path.is_file():
        faults.append(f"{part['id']}: {part['dxf']} is missing")
        return
    layers = entities(path, faults)
    outside = layers.get("OUTSIDE_THROUGH", [])
    if len(outside) != 1:
        faults.append(f"{path.name}: {len(outside)} outlines")
        return
    wanted = [tuple(v) for v in part["outline"]]
    shape = polygon(wanted)
    if not shape.is_valid:
        faults.append(f"{path.name}: outline {explain_validity(shape)}")
    exact = segment_area(wanted)
    if exact <= 0:
        faults.append(f"{part['id']}: outline of job.json is not counter-clockwise")
    if not close(segment_area(outside[0]), exact) or abs(shape.area - exact) > 2e-6 * exact:
        faults.append(f"{path.name}: area {segment_area(outside[0])}, job.json {exact}, shapely {shape.area}")
    low = shape.bounds[:2]
    if max(abs(low[0]), abs(low[1])) > 1e-4:
        faults.append(f"{path.name}: datum corner at {low}")
    check_shapes(path, "INSIDE_THROUGH", layers, part["inside"], shape, faults)
    pockets = {}
    for pocket in part["pockets"]:
        layer = f"POCKET_{pocket['face'].upper()}_{decimal(pocket['depth_mm'])}MM"
        pockets.setdefault(layer, []).append(pocket["outline"])
    for layer, outlines in pockets.items():
        check_shapes(path, layer, layers, outlines, shape, faults)
    drills = sum(len(v) for k, v in layers.items() if k.startswith("DRILL"))
    if drills != len(part["drills"]):
        faults.append(f"{path.name}: {drills} drills, job.json {len(part['drills'])}")
    known = set(pockets) | {"OUTSIDE_THROUGH", "INSIDE_THROUGH"}
    for layer in layers:
        if layer not in known and not layer.startswith(("DRILL", "COUNTERSINK")):
            faults.append(f"{path.name}: layer {layer} stands for nothing in job.json")


def check_shapes(path, layer, layers, wanted, board, faults):
    found = sorted(segment_area(v) for v in layers.get(layer, []))
    expected = sorted(segment_area([tuple(v) for v in outline]) for outline in wanted)
    if len(found) != len(expected) or not all(close(a, b) for a, b in zip(found, expected)):
        faults.append(f"{path.name}: {layer} areas {found}, job.json {expected}")
    for outline in wanted:
        inside = polygon([tuple(v) for v in outline])
        if not inside.is_valid or inside.difference(board.buffer(1e-4)).area > 1e-3:
            faults.append(f"{path.name}: a shape on {layer} leaves the board or crosses itself")


def decimal(value):
    return f"{value:.3f}".rstrip("0").rstrip(".")


def main(folders):
    faults, files = [], 0
    for folder in map(Path, folders):
        job = json.loads((folder / "job.json").read_text())
        named = {part["dxf"] for part in job["parts"]}
        files += len(named)
        for part in job["parts"]:
            check_part(folder, part, faults)
        for path in sorted((folder / "dxf").glob("*.dxf")):
            if f"dxf/{path.name}" not in named:
                faults.append(f"{path.name}: no part of job.json names it")
    for fault in faults:
        print(fault)
    print(f"{files} DXF files read back, {len(faults)} faults")
    return 1 if faults or not files else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
