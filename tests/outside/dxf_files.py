"""Reads every DXF of a build back with ezdxf and holds it against job.json with shapely.

Usage: dxf_files.py JOB_FOLDER...
Each file of each cutting shop must audit with 0 errors and 0 fixes, have the shop's version and unit, hold only closed
polylines, circles and text on layers that job.json explains, and nothing twice. Each part in it, at the place and turn that
job.json gives, must be the part of job.json: the same areas to 1e-6; where corners are relieved, nothing is taken but beside
inside corners and no more than a lobe each, and what a bit of the shop's diameter reaches in the relieved shape clears the
true one. Parts on a sheet must lie on it, the width of the bit apart.
"""
import json
import math
import sys
from pathlib import Path

import ezdxf
from shapely import affinity
from shapely.geometry import Point, Polygon, box
from shapely.ops import unary_union
from shapely.validation import explain_validity

TOLERANCE = 1e-6
# How much wider than the bit a lobe is in radius, and what a corner may keep, in mm: as the program documents them.
LOOSE = 0.05
LEFT = 0.02


def arc_points(start, end, bulge, steps=360):
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


class File:
    """What is drawn in one file, in millimetres: closed lines and circles by layer."""

    def __init__(self, path, shop, faults):
        self.name = f"{path.parent.name}/{path.name}"
        self.lines, self.circles, self.tabs = {}, {}, []
        self.faults = faults
        self.scale = 25.4 if shop["units"] == "inch" else 1.0
        drawing = ezdxf.readfile(path)
        audit = drawing.audit()
        if audit.errors or audit.fixes:
            self.fault(f"audit finds {len(audit.errors)} errors, {len(audit.fixes)} fixes")
        version, units = {"R2000": ("AC1015", 1 if shop["units"] == "inch" else 4), "R12": ("AC1009", 0)}[shop["version"]]
        if (drawing.dxfversion, drawing.units) != (version, units):
            self.fault(f"version {drawing.dxfversion}, units {drawing.units}")
        if shop["version"] == "R12" and shop["units"] not in path.stem.split("_"):
            self.fault("R12 without the unit in its name")
        known = {}
        for layer in shop["layers"]:
            known.setdefault(layer["layer"], set()).add(layer["operation"])
        seen = set()
        for entity in drawing.modelspace():
            layer = entity.dxf.layer
            if layer not in drawing.layers or layer not in known:
                self.fault(f"layer {layer} is not declared or not explained")
            if any(c not in "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789_.-" for c in layer):
                self.fault(f"layer {layer} has signs that not every reader takes")
            if shop["version"] == "R12" and len(layer) > 31:
                self.fault(f"layer {layer} is too long for R12")
            key = self.read(entity, layer, known)
            if key is None:
                continue
            if key in seen:
                self.fault(f"the same shape twice on {layer}")
            seen.add(key)

    def fault(self, message):
        self.faults.append(f"{self.name}: {message}")

    def read(self, entity, layer, known):
        kind, scale = entity.dxftype(), self.scale
        if kind in ("LWPOLYLINE", "POLYLINE"):
            if kind == "LWPOLYLINE":
                closed, points = entity.closed, list(entity.get_points("xyb"))
            else:
                closed = entity.is_closed
                points = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0)) for v in entity.vertices]
                if any(v.dxf.layer != layer for v in entity.vertices):
                    self.fault(f"corners of a line of {layer} lie on another layer")
            if not closed:
                self.fault(f"an open line on {layer}")
            vertices = [(x * scale, y * scale, b) for x, y, b in points]
            for a, b in zip(vertices, vertices[1:] + vertices[:1]):
                if math.hypot(a[0] - b[0], a[1] - b[1]) < 1e-5:
                    self.fault(f"a segment of no length on {layer}")
            self.lines.setdefault(layer, []).append(vertices)
            return layer, frozenset((round(x, 5), round(y, 5)) for x, y, _ in vertices)
        if kind == "CIRCLE":
            centre, radius = entity.dxf.center, entity.dxf.radius
            self.circles.setdefault(layer, []).append((centre.x * scale, centre.y * scale, radius * scale))
            return layer, round(centre.x, 5), round(centre.y, 5), round(radius, 5)
        if kind == "LINE":
            if "tab" not in known.get(layer, set()):
                self.fault(f"a single line on {layer}")
            ends = [(p.x * scale, p.y * scale) for p in (entity.dxf.start, entity.dxf.end)]
            self.tabs.append(ends)
            return layer, *((round(x, 5), round(y, 5)) for x, y in ends)
        if kind == "TEXT":
            if "text" not in known.get(layer, {"text"}):
                self.fault(f"text on {layer}")
            return None
        self.fault(f"a {kind} on {layer}")
        return None


def moved(vertices, lies):
    """Vertices of a part where the part lies: turned to the left by quarters, then moved; bulges stay, as nothing is mirrored."""
    out = []
    for x, y, *bulge in vertices:
        for _ in range(lies["quarter_turns"]):
            x, y = -y, x
        out.append((x + lies["at_mm"][0], y + lies["at_mm"][1], *bulge))
    return out


def inside_corners(vertices, air_within):
    """Corners on the side of the bit, straight walls and arcs: how far each turns, in radians."""
    turns = []
    count = len(vertices)

    def heading(index, at_end):
        (x0, y0, bulge), (x1, y1, _) = vertices[index], vertices[(index + 1) % count]
        half = 2 * math.atan(bulge)
        return math.atan2(y1 - y0, x1 - x0) + (half if at_end else -half)

    for index in range(count):
        turn = heading(index, False) - heading(index - 1, True)
        turn = (turn + math.pi) % (2 * math.pi) - math.pi
        if (turn if air_within else -turn) > 1e-6:
            turns.append((vertices[index][:2], abs(turn)))
    return turns


def lobes(shop, turns, radius):
    """The most that lobes of a radius may take beside these corners. Dog-bone: the circle's segment beyond the chord between
    the two points where it leaves the walls, less the triangle of these and the corner; T-bone: half a disc in a square or
    obtuse corner, a disc at most in an acute one (geometry)."""
    total = 0.0
    for _, turn in turns:
        opening = math.pi - turn
        if shop["relief"] == "dog_bone":
            sweep, wall = 2 * math.pi - 2 * opening, 2 * radius * math.cos(opening / 2)
            total += radius * radius / 2 * (sweep - math.sin(sweep)) - wall * wall / 2 * math.sin(opening)
        else:
            total += math.pi * radius * radius * (0.5 if turn <= math.pi / 2 + 1e-9 else 1.0)
    return total


def walls(vertices):
    """Length of each side of a line, arcs along their curve."""
    out = []
    for (x0, y0, bulge), (x1, y1, _) in zip(vertices, vertices[1:] + vertices[:1]):
        chord, sweep = math.hypot(x1 - x0, y1 - y0), 4 * math.atan(bulge)
        out.append(chord if bulge == 0 else abs(chord / (2 * math.sin(sweep / 2)) * sweep))
    return out


def wall_of_relief(file, what, shop, wanted, taken, air_within):
    """In a square corner of two straight sides a T-bone takes its half disc out of the wall that job.json names: there, a little
    behind it, wood is gone, and behind the other there is none gone."""
    count, lengths = len(wanted), walls(wanted)
    radius = shop["bit_mm"] / 2 + LOOSE
    for index in range(count):
        (px, py, pb), (x, y, bulge), (nx, ny, _) = wanted[index - 1], wanted[index], wanted[(index + 1) % count]
        if pb or bulge or abs(lengths[index - 1] - lengths[index]) < 1e-3:
            continue
        one = ((px - x) / lengths[index - 1], (py - y) / lengths[index - 1])
        two = ((nx - x) / lengths[index], (ny - y) / lengths[index])
        turn = -one[0] * two[1] + one[1] * two[0]
        if abs(one[0] * two[0] + one[1] * two[1]) > 1e-6 or (turn if air_within else -turn) <= 0:
            continue
        longer = one if lengths[index - 1] > lengths[index] else two
        shorter = two if longer is one else one
        chosen, other = (longer, shorter) if shop["relief_wall"] == "longer" else (shorter, longer)
        # Behind a wall is away from where the other runs; half a radius in, beside the middle of the half disc.
        behind = lambda along, across: Point(x + radius * along[0] - radius / 2 * across[0], y + radius * along[1] - radius / 2 * across[1])
        if not taken.contains(behind(chosen, other)) and taken.distance(Point(x, y)) < radius:
            file.fault(f"{what}: the corner at {x:.3f}, {y:.3f} is not relieved into its {shop['relief_wall']} wall")
        if taken.contains(behind(other, chosen)):
            file.fault(f"{what}: the corner at {x:.3f}, {y:.3f} is relieved into the wrong wall")


def reached(air, bit):
    """What a round bit clears in a shape: shrunk by its radius and grown again."""
    return air.buffer(-bit / 2, quad_segs=64).buffer(bit / 2, quad_segs=64)


def same_but_relieved(file, what, shop, found, wanted, air_within, wood=None):
    """Holds one closed line against the true one. `wood`: only there anything is cut (pockets that run out at an edge)."""
    true, drawn = polygon(wanted), polygon(found)
    for shape, whose in ((true, "job.json"), (drawn, "the file")):
        if not shape.is_valid:
            file.fault(f"{what} of {whose}: {explain_validity(shape)}")
            return
    if shop["relief"] == "none":
        if not close(segment_area(found), segment_area(wanted)) or true.symmetric_difference(drawn).area > 1e-4 * true.length:
            file.fault(f"{what} differs: area {segment_area(found)}, job.json {segment_area(wanted)}")
        return
    if wood is not None:
        true, drawn = true.intersection(wood), drawn.intersection(wood)
    more, less = (drawn, true) if air_within else (true, drawn)
    hair = 1e-4 * true.length
    if less.difference(more).area > hair:
        file.fault(f"{what}: {less.difference(more).area:.4f} mm2 that should be cut are not, or the other way round")
    taken = more.difference(less)
    if shop["relief"] == "t_bone" and wood is None:
        wall_of_relief(file, what, shop, wanted, taken, air_within)
    turns = inside_corners(wanted, air_within)
    radius = shop["bit_mm"] / 2 + LOOSE
    if taken.area > lobes(shop, turns, radius) + hair:
        file.fault(f"{what}: {taken.area:.3f} mm2 taken beside {len(turns)} corners of radius {radius}")
    near = unary_union([Point(at).buffer(2 * radius + 0.01) for at, _ in turns]) if turns else Polygon()
    if taken.difference(near).buffer(-1e-3).area > 0:
        file.fault(f"{what}: wood is taken where no inside corner is")
    # The true shape must be clear after the bit went round in the relieved one.
    if air_within:
        left = true.difference(reached(polygon(found), shop["bit_mm"]))
    else:
        x0, y0, x1, y1 = true.bounds
        around = box(x0 - 50, y0 - 50, x1 + 50, y1 + 50)
        left = around.difference(true).difference(reached(around.difference(drawn), shop["bit_mm"]))
        left = left.intersection(box(x0, y0, x1, y1))
    # A corner that was left alone keeps no more than LEFT; thinner than that is nothing.
    if left.buffer(-LEFT / 2).area > 0:
        file.fault(f"{what}: the bit leaves {left.area:.4f} mm2 standing near {left.representative_point()}")


def operation(shop, name, **figures):
    """The layer of an operation with these figures."""
    for layer in shop["layers"]:
        if layer["operation"] == name and all(
            layer[key] == value or (isinstance(value, float) and layer[key] is not None and abs(layer[key] - value) < 0.01)
            for key, value in figures.items()
        ):
            return layer["layer"]
    return None


def taken_out(shapes, centre_of, wanted):
    """The shape whose bounds are nearest to those wanted, taken out of the list."""
    if not shapes:
        return None
    best = min(shapes, key=lambda shape: sum(abs(a - b) for a, b in zip(centre_of(shape), centre_of(wanted))))
    shapes.remove(best)
    return best


def middle(vertices):
    x0, y0, x1, y1 = polygon(vertices).bounds
    return (x0, y0, x1, y1)


def obround(drill):
    """A slot of job.json as vertices: straight sides and half circles, anticlockwise."""
    (x, y), r = drill["at"], drill["diameter_mm"] / 2
    s = drill["slot"]["length_mm"] / 2 - r
    if drill["slot"]["along"] == "x":
        return [(x - s, y - r, 0), (x + s, y - r, 1), (x + s, y + r, 0), (x - s, y + r, 1)]
    return [(x + r, y - s, 0), (x + r, y + s, 1), (x - r, y + s, 0), (x - r, y - s, 1)]


def check_part(file, shop, part, lies, left):
    """Takes what a part needs out of `left`, the shapes of the file not accounted for yet; gives its outline."""
    name = part["id"]
    outline = moved(part["outline"], lies)
    found = taken_out(left["lines"].get(operation(shop, "outside"), []), middle, outline)
    if found is None:
        file.fault(f"no outline of {name}")
        return None
    if segment_area(outline) <= 0:
        file.fault(f"outline of {name} in job.json is not counter-clockwise")
    same_but_relieved(file, f"outline of {name}", shop, found, outline, False)
    wood = polygon(outline)
    for opening in part["inside"]:
        opening = moved(opening, lies)
        wood = wood.difference(polygon(opening))
        found_in = taken_out(left["lines"].get(operation(shop, "inside"), []), middle, opening)
        if found_in is None:
            file.fault(f"an opening of {name} is missing")
        else:
            same_but_relieved(file, f"an opening of {name}", shop, found_in, opening, True)
    for pocket in part["pockets"]:
        layer = operation(shop, "pocket", face=pocket["face"], depth_mm=pocket["depth_mm"])
        wanted = moved(pocket["outline"], lies)
        found_in = taken_out(left["lines"].get(layer, []), middle, wanted)
        if found_in is None:
            file.fault(f"a pocket of {name} is missing from {layer}")
        else:
            same_but_relieved(file, f"a pocket of {name}", shop, found_in, wanted, True, wood)
    for drill in part["drills"]:
        size = {"diameter_mm": drill["diameter_mm"]}
        if "slot" in drill:
            layer = operation(shop, "slot", **size)
            wanted = moved(obround(drill), lies)
            found_in = taken_out(left["lines"].get(layer, []), middle, wanted)
            if found_in is None:
                file.fault(f"a slot of {name} is missing from {layer}")
            elif abs(segment_area(found_in) - segment_area(wanted)) > 1e-3:
                file.fault(f"a slot of {name} on {layer} has another area")
            continue
        if drill["depth_mm"] is None:
            layers = [(operation(shop, "drill_through", **size), drill["diameter_mm"])]
        else:
            layers = [(operation(shop, "drill", face=drill["from"], depth_mm=drill["depth_mm"], **size), drill["diameter_mm"])]
        if drill["countersink_mm"] is not None:
            head = drill["countersink_mm"]
            layers.append((operation(shop, "countersink", face=drill["from"], diameter_mm=head), head))
        [(x, y)] = moved([drill["at"]], lies)
        for layer, diameter in layers:
            circles = left["circles"].get(layer, [])
            hit = [c for c in circles if math.hypot(c[0] - x, c[1] - y) < 1e-4 and abs(2 * c[2] - diameter) < 1e-4]
            if len(hit) != 1:
                file.fault(f"{len(hit)} circles of {diameter} mm at {x:.3f}, {y:.3f} on {layer} for {name}")
            for circle in hit:
                circles.remove(circle)
    return polygon(found)


def check_sheet(file, shop, outlines):
    edge = file.lines.get(operation(shop, "sheet"), [])
    edge = [line for line in edge if len(line) == 4]
    sheets = [polygon(line) for line in edge]
    if not sheets:
        file.fault("no edge of the sheet")
        return
    sheet = max(sheets, key=lambda shape: shape.area)
    for index, one in enumerate(outlines):
        if one.difference(sheet.buffer(1e-3)).area > 0:
            file.fault("a part reaches over the edge of the sheet")
        for other in outlines[index + 1 :]:
            if one.distance(other) < (shop["bit_mm"] or 0) - 1e-3:
                file.fault(f"two parts lie {one.distance(other):.3f} mm apart")


def check_file(folder, job, shop, entry, faults):
    file = File(folder / entry["file"], shop, faults)
    left = {
        "lines": {layer: list(all) for layer, all in file.lines.items()},
        "circles": {layer: list(all) for layer, all in file.circles.items()},
    }
    parts = {part["id"]: part for part in job["parts"]}
    outlines = [check_part(file, shop, parts[lies["part"]], lies, left) for lies in entry["parts"]]
    tabs = sum(lies["tabs"] for lies in entry["parts"])
    if tabs != len(file.tabs):
        file.fault(f"{len(file.tabs)} tabs are drawn, job.json has {tabs}")
    for ends in file.tabs:
        # Both ends and the middle lie on the outline of a part, which stays closed.
        points = [*ends, tuple((a + b) / 2 for a, b in zip(*ends))]
        if not any(all(o.exterior.distance(Point(p)) < 1e-3 for p in points) for o in outlines if o is not None):
            file.fault(f"a tab at {ends} lies on no outline")
    if entry["holds"] == "sheet":
        check_sheet(file, shop, [outline for outline in outlines if outline is not None])
    if entry["holds"] == "coupon":
        coupon = file.lines.get(operation(shop, "outside"), [])
        if len(coupon) != 2 or not all(polygon(line).is_valid for line in coupon):
            file.fault("a coupon is a board and a tongue")
        return
    apart = ("text", "reference", "sheet")
    free = {layer["layer"] for layer in shop["layers"] if layer["operation"] in apart}
    for layer, shapes in [*left["lines"].items(), *left["circles"].items()]:
        if shapes and layer not in free:
            file.fault(f"{len(shapes)} shapes on {layer} stand for nothing in job.json")
    square = 101.6 if shop["units"] == "inch" else 100.0
    for line in file.lines.get(operation(shop, "reference"), []):
        x0, y0, x1, y1 = polygon(line).bounds
        outside = unary_union([outline for outline in outlines if outline is not None])
        if abs(x1 - x0 - square) > 1e-6 or abs(y1 - y0 - square) > 1e-6:
            file.fault(f"the square of known size measures {x1 - x0} by {y1 - y0}")
        if polygon(line).intersects(outside):
            file.fault("the square of known size lies on a part")


def main(folders):
    faults, files = [], 0
    for folder in map(Path, folders):
        job = json.loads((folder / "job.json").read_text())
        named = set()
        for shop in job["cutting"]:
            layers = [layer["layer"].upper() for layer in shop["layers"] if layer["operation"] not in ("text", "reference", "sheet")]
            if len(layers) != len(set(layers)):
                faults.append(f"{shop['name']}: two operations on one layer")
            drawn = set()
            for entry in shop["files"]:
                named.add(entry["file"])
                if not (folder / entry["file"]).is_file():
                    faults.append(f"{entry['file']} is missing")
                elif entry["file"].endswith(".dxf"):
                    files += 1
                    drawn |= {lies["part"] for lies in entry["parts"]}
                    check_file(folder, job, shop, entry, faults)
            if shop["name"] == "" and drawn != {part["id"] for part in job["parts"]}:
                faults.append("not every part has a file")
        for path in sorted((folder / "dxf").rglob("*.dxf")):
            # Router templates are read by jigs.py.
            if path.parent.name != "jigs" and path.relative_to(folder).as_posix() not in named:
                faults.append(f"{path.name}: job.json does not name it")
    for fault in faults:
        print(fault)
    print(f"{files} DXF files read back, {len(faults)} faults")
    return 1 if faults or not files else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
