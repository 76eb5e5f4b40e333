"""Reads the router templates of a build back with ezdxf and holds them against job.json with shapely.

    python tests/outside/jigs.py FOLDER

FOLDER holds job.json and dxf/jigs/*.dxf (the tests write target/tmp/jigs). Checked for every template:

- ezdxf audits the file with 0 errors and 0 fixes; its loops are closed, valid and do not touch themselves;
- the guiding line is what shapely's buffer makes of the finished line (the bit's middle: half a bit from it, square corners kept;
  the template: half a collar from that, round): areas to 1e-6, no place of either line further than 3e-6 mm from the other, 1e-4
  mm where there are arcs; relieved corners only add to it;
- the finished line lies on the part's own outline, opening or recess of job.json, the same way round, and what it holds is no wood
  of the part (or all of it, for outlines and edges).

Needs, from PyPI: ezdxf, shapely.
"""
import json
import sys
from pathlib import Path

from shapely.affinity import scale
from shapely.geometry import Polygon

from dxf_files import File, arc_points

# Chords of arcs: what is left of them is far below the grid of the files.
QUADRANT = 4096
STEPS = 4096
CHORDS = 3e-6
# Ends of arcs are rounded to the length grid (1.25e-5 mm) twice, and the arc between them swings with them.
ARCS = 1e-4


def polygon(vertices):
    points = []
    for (x, y, bulge), (nx, ny, _) in zip(vertices, vertices[1:] + vertices[:1]):
        points += arc_points((x, y), (nx, ny), bulge, STEPS)
    return Polygon(points)


def text_of(path):
    import ezdxf

    return [e.dxf.text for e in ezdxf.readfile(path).modelspace() if e.dxftype() == "TEXT"]


def numbers(lines):
    line = next(text for text in lines if text.startswith("template "))
    words = line.replace(",", "").split()
    return {"bit": float(words[words.index("bit") + 1]), "follower": float(words[words.index("outside") - 2])}


def far(one, other):
    """How far the corners of one line lie from the other line."""
    from shapely.geometry import Point

    ring = other.exterior
    # Every corner of a straight line; some of the many of arcs.
    places = one.exterior.coords[:: max(1, len(one.exterior.coords) // 500)]
    return max(ring.distance(Point(at)) for at in places)


# How a router template's file is written, and what lies on its layers; those of holes bear their size.
SHOP = {"units": "mm", "version": "R2000"}
LAYERS = {
    "INSIDE_THROUGH": "inside",
    "OUTSIDE_THROUGH": "outside",
    "FINISHED_LINE_NOT_CUT": "reference",
    "FENCE_BELOW_NOT_CUT": "reference",
    "TEXT_NOT_CUT": "text",
}


def check(path, job, faults):
    import ezdxf

    drills = {layer.dxf.name for layer in ezdxf.readfile(path).layers if layer.dxf.name.startswith("DRILL_THROUGH_")}
    known = LAYERS | {layer: "drill_through" for layer in drills}
    shop = SHOP | {"layers": [{"layer": layer, "operation": what} for layer, what in known.items()]}
    layers = File(path, shop, faults).lines
    lines = text_of(path)
    tool = numbers(lines)
    half_bit, half_follower = tool["bit"] / 2, tool["follower"] / 2
    shapes = {layer: [polygon(v) for v in all_of] for layer, all_of in layers.items()}
    for layer, all_of in shapes.items():
        for shape in all_of:
            if not shape.is_valid:
                faults.append(f"{path.name}: a line on {layer} touches itself")
    finished = shapes["FINISHED_LINE_NOT_CUT"][0]
    inside = "INSIDE_THROUGH" in shapes
    found = shapes["INSIDE_THROUGH" if inside else "OUTSIDE_THROUGH"][0]
    way = -1 if inside else 1
    # Where the bit's middle goes, corners square, and back for the follower, which is round: where both go one way round a
    # corner the square of the one is taken off by the round of the other.
    middle = finished.buffer(way * half_bit, quad_segs=QUADRANT, join_style="mitre", mitre_limit=20)
    wanted = middle.buffer(-way * half_follower, quad_segs=QUADRANT, join_style="round")
    if not isinstance(wanted, Polygon) or wanted.interiors:
        faults.append(f"{path.name}: shapely finds no one line")
        return
    relieved = any("relieve" in line for line in lines)
    if relieved:
        # Relief: more is open, and only near corners.
        if not found.buffer(CHORDS).contains(wanted):
            faults.append(f"{path.name}: the relieved line is smaller than the plain one")
        if found.area - wanted.area > 8 * half_follower * half_follower:
            faults.append(f"{path.name}: the relief takes {found.area - wanted.area:.3f} mm²")
    else:
        if abs(found.area - wanted.area) > 1e-6 * wanted.area:
            faults.append(f"{path.name}: area {found.area}, shapely {wanted.area}")
        apart = max(far(found, wanted), far(wanted, found))
        curved = any(bulge for line in layers["FINISHED_LINE_NOT_CUT"] for _, _, bulge in line)
        if apart > (ARCS if curved else CHORDS):
            faults.append(f"{path.name}: {apart:.7f} mm from shapely's line")
    on_part(path, job, finished, inside, lines, faults)


def on_part(path, job, finished, inside, lines, faults):
    part = next(part for part in job["parts"] if part["id"] in path.name)
    outline = polygon([tuple(v) for v in part["outline"]])
    openings = [polygon([tuple(v) for v in o]) for o in part["inside"]]
    pockets = [polygon([tuple(v) for v in p["outline"]]) for p in part["pockets"]]
    if any("back face" in line for line in lines):
        # As seen from the back.
        flip = lambda shape: scale(shape, xfact=-1, origin=(part["width_mm"] / 2, 0))
        outline, openings, pockets = flip(outline), [flip(o) for o in openings], [flip(p) for p in pockets]
    wood = outline
    for opening in openings:
        wood = wood.difference(opening)
    if inside:
        held = finished.intersection(outline)
        known = any(held.symmetric_difference(o).area < 1e-3 for o in openings + pockets)
        if not known:
            faults.append(f"{path.name}: what it cuts is no opening or recess of {part['id']} in job.json")
    else:
        # Of an edge's template only the body behind the edge lies on the wood: beyond the part's ends it runs on in the air.
        low, _, high, _ = outline.bounds
        within = finished.intersection(Polygon([(low, -1e5), (high, -1e5), (high, 1e5), (low, 1e5)]))
        if within.difference(outline).area > 1e-3:
            faults.append(f"{path.name}: its finished line leaves {part['id']} of job.json")


def main(folder):
    folder = Path(folder)
    job = json.loads((folder / "job.json").read_text())
    faults, files = [], sorted((folder / "dxf" / "jigs").glob("*.dxf"))
    for path in files:
        check(path, job, faults)
    for fault in faults:
        print(fault)
    print(f"{len(files)} router templates read back, {len(faults)} faults")
    return 1 if faults or not files else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1]))
