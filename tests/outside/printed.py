"""Measures pages at full size in pictures made by PDFium at 600 dots per inch.

    python tests/outside/printed.py FOLDER

FOLDER is what the tests write to target/tmp/fullsize: PDF files and pages.json, which says what they must show. Checked:

- on every page the bars measure 100 mm across, up and aslant, and the ends of the first two lie 100 √2 mm apart, all to 0.1 mm;
  the 4 in bars across and aslant 101.6 mm;
- a part put together again from its pages, by nothing but the register crosses that neighbours share, has its outline where it
  must be to 0.2 mm, and none of it is missing;
- pages corrected for a printer that prints 99.4 % across, 100.3 % up and leans by 0.2° measure true once that printer has had
  its way with them; without the correction they do not;
- viewers are asked not to scale.

Needs, from PyPI: numpy, pillow, pypdfium2.
"""

import json
import math
import pathlib
import sys

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw

DPI = 600
DOTS = DPI / 25.4
BARS = 0.1
OUTLINE = 0.2

failures = []


def fail(where, what):
    failures.append(where)
    # A shifted page has hundreds of wrong places: a few tell where to look.
    if failures.count(where) <= 5:
        print(f"FAIL {where}: {what}")


class Page:
    """A page as ink, 0 to 1, with places in millimetres from its lower left corner."""

    def __init__(self, page):
        self.ink = 1.0 - np.asarray(page.render(scale=DPI / 72, grayscale=True).to_pil().convert("L"), dtype=np.float32) / 255
        # The picture is a whole number of dots; the paper is not.
        self.height = page.get_size()[1] * 25.4 / 72

    def patch(self, x0, y0, x1, y1):
        """Ink between two corners and the places (mm) of its first column and first row from the bottom."""
        left, right = round(x0 * DOTS), round(x1 * DOTS)
        top, bottom = round((self.height - y1) * DOTS), round((self.height - y0) * DOTS)
        ink = self.ink[max(top, 0):bottom, max(left, 0):right]
        return ink, (max(left, 0) + 0.5) / DOTS, self.height - (max(top, 0) + 0.5) / DOTS

    def across(self, x, y0, y1, reach=0.6):
        """Middle of an upright line near x, seen between y0 and y1."""
        ink, left, _ = self.patch(x - reach, y0, x + reach, y1)
        return left + middle(np.median(ink, axis=0)) / DOTS

    def up(self, y, x0, x1, reach=0.6):
        """Middle of a lying line near y, seen between x0 and x1."""
        ink, _, top = self.patch(x0, y - reach, x1, y + reach)
        return top - middle(np.median(ink, axis=1)) / DOTS

    def sample(self, xs, ys):
        columns = np.floor(xs * DOTS).astype(int)
        rows = np.floor((self.height - ys) * DOTS).astype(int)
        return self.ink[np.clip(rows, 0, self.ink.shape[0] - 1), np.clip(columns, 0, self.ink.shape[1] - 1)]


def middle(profile):
    """Index of the middle of the darkest run of a profile, weighted by its ink."""
    dark = profile * (profile > 0.3)
    if dark.sum() == 0:
        return math.nan
    return float((np.arange(len(profile)) * dark).sum() / dark.sum())


def apart(a, b):
    return math.hypot(a[0] - b[0], a[1] - b[1])


def bars(page, at, shift=lambda p: p):
    """Ends A, B and C of the 100 mm bars, and both 4 in bars, as printed by `shift`. Ticks lie outside the lines."""
    x, y = at

    def corner(cx, cy, along):
        # An upright tick and a lying line, or the other way round.
        if along == "x":
            return page.across(cx, cy - 3.2, cy - 0.5), page.up(cy, min(x, cx) + 40, max(x, cx) - 20)
        return page.across(cx, min(y, cy) + 60, max(y, cy) - 10), page.up(cy, cx - 3.2, cx - 0.5)

    bx, by = corner(x + 100, y, "x")
    cx, cy = corner(x, y + 100, "y")
    a = shift((page.across(x, y - 3.2, y - 0.5), page.up(y, x - 3.2, x - 0.5)))
    b, c = shift((bx, by)), shift((cx, cy))
    inches = page.across(x + 101.6, y + 2.6, y + 5.0) - page.across(x, y + 10, y + 50)
    return apart(a, b), apart(a, c), apart(b, c), inches


# Where the slanting bars begin, from A, which way they run, and which way the ticks of the 100 mm bar stand.
SLANT_AT, SLANT, SLANT_OUT = (9.0, 9.0), (0.96, 0.28), (0.28, -0.96)


def slanting(page, at, place=lambda p: p):
    """Ends of the slanting 100 mm bar and of the 4 in bar above it, as drawn through `place`, found by their lines and ticks."""

    def on(s, p):
        return place((at[0] + SLANT_AT[0] + SLANT[0] * s + SLANT_OUT[0] * p, at[1] + SLANT_AT[1] + SLANT[1] * s + SLANT_OUT[1] * p))

    def ink(ss, ps):
        s, p = np.meshgrid(ss, ps, indexing="ij")
        x, y = on(s, p)
        return page.sample(x, y)

    near = np.arange(-0.8, 0.8, 0.01)
    ends = []
    for length, off, ticks in ((100.0, 0.0, np.arange(1.0, 3.0, 0.02)), (101.6, -2.2, np.arange(-2.5, -1.0, 0.02))):
        for end, inner in ((0.0, np.arange(2.0, 8.0, 0.02)), (length, np.arange(-8.0, -2.0, 0.02))):
            along = end + near[0] + 0.01 * middle(np.median(ink(end + near, off + ticks), axis=1))
            side = off + near[0] + 0.01 * middle(np.median(ink(end + inner, off + near), axis=0))
            ends.append(on(along, side))
    return ends


def check_slanting(where, ends):
    for name, a, b, wanted in (("100 mm", ends[0], ends[1], 100.0), ("4 in", ends[2], ends[3], 101.6)):
        if not abs(apart(a, b) - wanted) <= BARS:
            fail(where, f"the slanting {name} bar measures {apart(a, b):.3f} mm")


def check_bars(where, found):
    for name, value, wanted in zip(("across", "up", "corner to corner"), found, (100.0, 100.0, 100.0 * math.sqrt(2))):
        if not abs(value - wanted) <= BARS:
            fail(where, f"the bar {name} measures {value:.3f} mm, not {wanted:.3f}")


def crosses(page, tile):
    """Register crosses as measured: name to place. Arms are looked at beyond the ring, on whichever side there are any."""
    found = {}
    for cross in tile["crosses"]:
        x, y = cross["at"]
        uprights = [page.across(x, y + a, y + b, 0.5) for a, b in ((2.4, 4.6), (-4.6, -2.4))]
        lying = [page.up(y, x + a, x + b, 0.5) for a, b in ((2.4, 4.6), (-4.6, -2.4))]
        found[cross["name"]] = (float(np.nanmean(uprights)), float(np.nanmean(lying)))
    return found


def put_together(where, tiles, measured):
    """Offset of every page, from the first page on, by the crosses that neighbours share."""
    offsets = {0: tuple(-v for v in tiles[0]["by"])}
    waiting = [0]
    while waiting:
        one = waiting.pop(0)
        for other in range(len(tiles)):
            shared = measured[one].keys() & measured[other].keys()
            if other in offsets or len(shared) < 2:
                continue
            steps = [
                (measured[one][n][0] - measured[other][n][0], measured[one][n][1] - measured[other][n][1]) for n in sorted(shared)
            ]
            step = np.mean(steps, axis=0)
            if max(apart(s, step) for s in steps) > 0.1:
                fail(where, f"crosses of pages {one} and {other} do not lie together: {steps}")
            offsets[other] = (offsets[one][0] + step[0], offsets[one][1] + step[1])
            waiting.append(other)
    if len(offsets) != len(tiles):
        fail(where, f"only {len(offsets)} of {len(tiles)} pages hang together")
    return offsets


def check_outline(where, wanted, pages, offsets):
    points = [tuple(p) for p in wanted["outline"]]
    corners = [tuple(p) for p in wanted["corners"]]
    worst, seen, missing = 0.0, 0, 0
    for (x0, y0), (x1, y1) in zip(points, points[1:] + points[:1]):
        length = apart((x0, y0), (x1, y1))
        if length == 0:
            continue
        tx, ty = (x1 - x0) / length, (y1 - y0) / length
        count = max(1, int(length / 5))
        for k in range(count):
            t = (k + 0.5) / count
            x, y = x0 + (x1 - x0) * t, y0 + (y1 - y0) * t
            # Near a corner the other line, its run-on and rings lie in the way.
            if min(apart((x, y), c) for c in corners) < 8:
                continue
            offs = []
            for index, tile in enumerate(wanted["tiles"]):
                px, py = x - offsets[index][0], y - offsets[index][1]
                w = tile["window"]
                if not (w[0] + 2 < px < w[2] - 2 and w[1] + 2 < py < w[3] - 2):
                    continue
                across = np.arange(-0.9, 0.9, 0.01)
                along = np.arange(-1.0, 1.01, 0.1)
                n, a = np.meshgrid(across, along, indexing="ij")
                ink = pages[tile["page"]].sample(px - ty * n + tx * a, py + tx * n + ty * a)
                # The line is dark all along; hatching that ends on it is not.
                dark = np.quantile(ink, 0.1, axis=1) > 0.5
                if dark.any():
                    offs.append(float(across[dark].mean()))
            seen += 1
            if not offs:
                missing += 1
                fail(where, f"the outline is missing at {x:.1f}, {y:.1f}")
            for off in offs:
                worst = max(worst, abs(off))
                if abs(off) > OUTLINE:
                    fail(where, f"the outline lies {off:.2f} mm off at {x:.1f}, {y:.1f}")
    if seen < 40:
        fail(where, f"only {seen} places of the outline were looked at")
    return worst, seen


def skewed(at):
    """The printer: 99.4 % across, 100.3 % up, leaning by 0.2°."""
    lean = math.radians(0.2)
    return 0.994 * at[0] + 1.003 * math.sin(lean) * at[1], 1.003 * math.cos(lean) * at[1]


def main(arguments):
    if not arguments:
        sys.exit(__doc__)
    folder = pathlib.Path(arguments[0])
    wanted = json.loads((folder / "pages.json").read_text())
    for one in wanted["true"]:
        document = pdfium.PdfDocument(str(folder / one["pdf"]))
        where = one["pdf"]
        if raw.FPDF_VIEWERREF_GetPrintScaling(document.raw):
            fail(where, "viewers may scale it when printing (PrintScaling is not None)")
        if len(document) != one["pages"]:
            fail(where, f"{len(document)} pages, not {one['pages']}")
        pages = [Page(page) for page in document]
        extremes = []
        for index, (page, picture) in enumerate(zip(document, pages)):
            size = [v * 25.4 / 72 for v in page.get_size()]
            if max(abs(a - b) for a, b in zip(size, one["size"])) > 0.01:
                fail(where, f"page {index + 1} is {size} mm, not {one['size']}")
            found = bars(picture, one["bars_at"])
            check_bars(f"{where} page {index + 1}", found[:3])
            if not abs(found[3] - 101.6) <= BARS:
                fail(where, f"page {index + 1}: the 4 in bar measures {found[3]:.3f} mm")
            aslant = slanting(picture, one["bars_at"])
            check_slanting(f"{where} page {index + 1}", aslant)
            extremes.append((*found, apart(*aslant[:2]), apart(*aslant[2:])))
        measured = [crosses(pages[tile["page"]], tile) for tile in one["tiles"]]
        offsets = put_together(where, one["tiles"], measured)
        worst, seen = check_outline(where, one, pages, offsets)
        low, high = np.min(extremes, axis=0), np.max(extremes, axis=0)
        spans = ", ".join(f"{a:.3f}–{b:.3f}" for a, b in zip(low, high))
        print(f"{where}: {len(pages)} pages, bars {spans} mm; outline of {len(one['tiles'])} pages at {seen} places: worst {worst:.3f} mm")
    for one in wanted["skewed"]:
        document = pdfium.PdfDocument(str(folder / one["pdf"]))
        for index, page in enumerate(document):
            where = f"{one['pdf']} page {index + 1}"
            picture = Page(page)
            # Bars stand where the correction put them: found by the same search, begun at the place it gives.
            drawn, aslant = corrected_bars(picture, one)
            check_slanting(where, [skewed(end) for end in aslant])
            ends = {name: skewed(at) for name, at in drawn.items()}
            found = apart(ends["A"], ends["B"]), apart(ends["A"], ends["C"]), apart(ends["B"], ends["C"])
            check_bars(where, found)
            plain = apart(drawn["A"], drawn["B"]), apart(drawn["A"], drawn["C"])
            if max(abs(v - 100.0) for v in plain) < 0.2:
                fail(where, "the page was not corrected")
        print(f"{one['pdf']}: through the skewed printer the bars measure {found[0]:.3f}, {found[1]:.3f}, {found[2]:.3f} mm")
    if failures:
        sys.exit(f"{len(failures)} faults")
    print(f"{folder}: pages at full size measure true")


def corrected_bars(page, one):
    """Ends of the bars of a page whose bars were moved by up to a few millimetres: the lines are followed from where they begin."""
    width, height = one["size"]
    lean = math.radians(0.2)
    sx, sy = 0.994, 1.003
    # The page is drawn through the inverse of the printer, about the middle of the paper.
    inset = max(width / 2 / sx + height / 2 * math.tan(lean) / sx - width / 2, height / 2 / (sy * math.cos(lean)) - height / 2, 0)

    def place(at):
        x, y = at[0] - width / 2, at[1] - height / 2
        y2 = y / (sy * math.cos(lean))
        return width / 2 + x / sx - math.tan(lean) * y / sx, height / 2 + y2

    x, y = one["bars_at"][0] + inset, one["bars_at"][1] + inset
    ends = {}
    for name, (dx, dy) in {"A": (0, 0), "B": (100, 0), "C": (0, 100)}.items():
        px, py = place((x + dx, y + dy))
        if name == "C":
            column = page.across(px, py - 8, py - 4)
            row = page.up(py, px - 3.2, px - 0.5)
        else:
            column = page.across(px, py - 3.2, py - 0.5)
            row = page.up(py, px - 3.2, px - 0.5) if name == "A" else page.up(py, px - 8, px - 4)
        # Ticks lean with the page: seen at 1.85 mm beside the line, they are that much off.
        if name != "C":
            column += math.tan(lean) / sx * -1.85
        else:
            column += math.tan(lean) / sx * -6.0
        ends[name] = (column, row)
    return ends, slanting(page, (x, y), place)


if __name__ == "__main__":
    main(sys.argv[1:])
