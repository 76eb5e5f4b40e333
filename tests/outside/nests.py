"""Holds layouts of sheet goods against other people's programs.

Usage: nests.py TICKSTICK DATA_FOLDER JOB_FOLDER...
TICKSTICK nest, run on a small subset of the published instances in DATA_FOLDER (Berkey and Wang 1987, Martello and Vigo
1998), may never use more sheets than rectpack's guillotine packers; shapely proves that no two parts overlap and that each
lies on its sheet. In the job.json of every JOB_FOLDER the true outlines of the parts, turned as the layout says, must lie apart
by the kerf, inside their rectangles and their sheet, and be as many as the job has boards of sheet goods.
"""
import csv
import json
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

import rectpack
from shapely import STRtree, affinity
from shapely.geometry import box

from dxf_files import polygon

# A tenth of a unit of the program's lengths, in millimetres; arcs are flattened to chords besides.
TOLERANCE = 1e-3

PACKERS = [rectpack.GuillotineBssfSas, rectpack.GuillotineBafSas, rectpack.GuillotineBlsfSas]


def instances(folder):
    """Six instances of 20 and of 40 items of each class: name, sheet, items with their quantities."""
    for table in sorted(folder.glob("bpp2d_class*.csv")):
        with table.open() as file:
            for row in csv.DictReader(file):
                size, number = row["id"].split("_")[1:]
                if size not in ("020", "040") or int(number) > 6:
                    continue
                items = []
                for text in row["items(WxH*demand)"].split():
                    sides, _, demand = text.partition("*")
                    width, height = map(int, sides.split("x"))
                    items.append((width, height, int(demand or 1)))
                yield row["id"], (int(row["W"]), int(row["H"])), items


def rectpack_sheets(sheet, items, rotate):
    """Fewest bins over the guillotine packers, each bin filled in turn, the largest areas first."""
    best = None
    for packer in PACKERS:
        packing = rectpack.newPacker(
            mode=rectpack.PackingMode.Offline,
            bin_algo=rectpack.PackingBin.BBF,
            pack_algo=packer,
            sort_algo=rectpack.SORT_AREA,
            rotation=rotate,
        )
        for width, height, demand in items:
            for _ in range(demand):
                packing.add_rect(width, height)
        packing.add_bin(*sheet, count=float("inf"))
        packing.pack()
        assert sum(len(sheet_of) for sheet_of in packing) == sum(item[2] for item in items)
        best = len(packing) if best is None else min(best, len(packing))
    return best


def apart(shapes, least, told):
    tree = STRtree(shapes)
    for index, shape in enumerate(shapes):
        for other in tree.query(shape.buffer(least + 1)):
            if other <= index:
                continue
            distance = shape.distance(shapes[other])
            shared = shape.intersection(shapes[other]).area
            assert shared <= TOLERANCE and distance >= least - TOLERANCE, f"{told}: {shared} shared, {distance} apart"


def our_sheets(program, list_file, sheet, items, rotate, told):
    with list_file.open("w") as file:
        file.write("name,width,height,quantity\n")
        file.writelines(f"p{n},{w},{h},{demand}\n" for n, (w, h, demand) in enumerate(items))
    command = [program, "nest", list_file, "--sheet", f"{sheet[0]}x{sheet[1]}", "--format", "json"]
    command += ["--rotate", "yes" if rotate else "no"]
    layout = json.loads(subprocess.run(command, check=True, capture_output=True).stdout)
    counts = Counter()
    for laid in layout["sheets"]:
        shapes = []
        for part in laid["parts"]:
            width, height, _ = items[int(part["name"][1:])]
            turned = (height, width) if part["rotated"] else (width, height)
            assert (part["width"], part["height"]) == turned and (rotate or not part["rotated"]), told
            shapes.append(box(part["x"], part["y"], part["x"] + part["width"], part["y"] + part["height"]))
            counts[part["name"]] += 1
        assert all(box(0, 0, *sheet).buffer(TOLERANCE).contains(shape) for shape in shapes), told
        apart(shapes, 0, told)
    assert counts == {f"p{n}": demand for n, (_, _, demand) in enumerate(items)}, told
    assert layout["bound"] <= len(layout["sheets"]), told
    return len(layout["sheets"])


def check_instances(program, folder):
    ours_all = theirs_all = count = 0
    with tempfile.TemporaryDirectory() as scratch:
        for name, sheet, items in instances(folder):
            for rotate in (True, False):
                told = f"{name}, {'turning' if rotate else 'fixed'}"
                ours = our_sheets(program, Path(scratch) / "list.csv", sheet, items, rotate, told)
                theirs = rectpack_sheets(sheet, items, rotate)
                assert ours <= theirs, f"{told}: {ours} sheets, rectpack {theirs}"
                ours_all, theirs_all, count = ours_all + ours, theirs_all + theirs, count + 1
    assert count >= 100, "the instances are there"
    print(f"{count} instances: {ours_all} sheets, rectpack {theirs_all}")


def check_job(folder):
    job = json.loads((folder / "job.json").read_text())
    parts = {part["id"]: part for part in job["parts"]}
    sheet_stock = {stock["name"] for stock in job["stock"] if stock["sheet_mm"]}
    placed = Counter()
    for nest in job["nests"]:
        for sheet in nest["sheets"]:
            told = f"{folder.name}, sheet {sheet['number']}"
            whole = box(0, 0, sheet["width_mm"], sheet["length_mm"])
            trimmed = whole.buffer(-sheet["trim_mm"], join_style="mitre").buffer(TOLERANCE)
            shapes = []
            for lies in sheet["parts"]:
                part = parts[lies["part"]]
                assert part["stock"] == nest["stock"], told
                # Turned about the datum corner of the part, then moved to where the layout puts that corner.
                shape = polygon([tuple(vertex) for vertex in part["outline"]])
                shape = affinity.rotate(shape, 90 * lies["quarter_turns"], origin=(0, 0))
                shape = affinity.translate(shape, *lies["datum_mm"])
                x, y = lies["x_mm"], lies["y_mm"]
                cut = box(x, y, x + lies["width_mm"], y + lies["length_mm"])
                assert cut.buffer(TOLERANCE).contains(shape), f"{told}: {lies['board']} leaves its rectangle"
                assert trimmed.contains(cut), f"{told}: {lies['board']} leaves the sheet"
                shapes.append(cut)
                placed[lies["board"]] += 1
            offcuts = [
                box(o["x_mm"], o["y_mm"], o["x_mm"] + o["width_mm"], o["y_mm"] + o["length_mm"])
                for o in sheet["offcuts"]
            ]
            apart(shapes + offcuts, nest["kerf_mm"], told)
    wanted = {board["name"] for board in job["boards"] if parts[board["part"]]["stock"] in sheet_stock}
    assert set(placed) == wanted and set(placed.values()) <= {1}, f"{folder.name}: every board is cut once"
    print(f"{folder.name}: {len(placed)} parts on sheets lie apart")


if __name__ == "__main__":
    check_instances(sys.argv[1], Path(sys.argv[2]))
    for job_folder in sys.argv[3:]:
        check_job(Path(job_folder))
