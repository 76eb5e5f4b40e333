"""Looks at the sheets of a build with programs that are not ours: the SVG through resvg, the PDF through PDFium.

    python tests/outside/pictures.py OUTDIR [--save FOLDER]

OUTDIR holds sheets/*.svg and one PDF (drawings.pdf, or the only one there is), its pages in the order of the sorted
SVG files. Checked for every sheet:

- the SVG is XML, has a title, and says its size in millimetres; the PDF page has the same size (to 0.01 mm);
- both pictures, at the same dots per inch, are the same drawing: ink of one lies within a hair of ink of the other;
- every word of the SVG's text can be found in the PDF's text;
- where the sheet has a group whose id begins with `bar-100mm`, the bar measures 100 mm on the PDF at 600 dpi to 0.1 mm.

And for the PDF: version 1.7, no scaling asked of the printer, bookmarks in chapters that lead to every page.

Needs, from PyPI: numpy, pillow, pypdfium2, resvg_py.
"""

import io
import pathlib
import sys
import xml.etree.ElementTree as ET

import numpy as np
import pypdfium2 as pdfium
import pypdfium2.raw as raw
import resvg_py
from PIL import Image

SVG = "{http://www.w3.org/2000/svg}"
DPI = 200
# A hair: two pixels at 200 dpi are a quarter of a millimetre, half the width of a visible outline.
HAIR = 2
# Pixels that may stray further than a hair: none were seen to, and the dot of a centre line is two.
STRAY = 1

failures = []


def fail(where, what):
    failures.append(f"{where}: {what}")
    print(f"FAIL {where}: {what}")


def svg_picture(path, dpi):
    # Fonts stay unread: what is not drawn as an outline must not show.
    png = resvg_py.svg_to_bytes(svg_path=str(path), dpi=dpi, background="white", skip_system_fonts=True)
    return np.asarray(Image.open(io.BytesIO(bytes(png))).convert("L"))


def pdf_picture(page, dpi):
    return np.asarray(page.render(scale=dpi / 72, grayscale=True).to_pil().convert("L"))


def grown(mask, by):
    """The mask with every pixel spread by so many pixels in all directions."""
    out = mask.copy()
    for axis in (0, 1):
        spread = out.copy()
        for step in range(1, by + 1):
            for sign in (step, -step):
                moved = np.roll(out, sign, axis)
                edge = [slice(None), slice(None)]
                edge[axis] = slice(0, step) if sign > 0 else slice(-step, None)
                moved[tuple(edge)] = False
                spread |= moved
        out = spread
    return out


def same_drawing(where, one, other):
    height, width = min(one.shape[0], other.shape[0]), min(one.shape[1], other.shape[1])
    if max(abs(one.shape[0] - other.shape[0]), abs(one.shape[1] - other.shape[1])) > 1:
        fail(where, f"pictures of {one.shape} and {other.shape} pixels")
        return
    one, other = one[:height, :width], other[:height, :width]
    # What is dark in one must be at least tinged in the other, within a hair.
    for name, ink, paper in (("SVG", one, other), ("PDF", other, one)):
        dark, tinged = ink < 100, grown(paper < 200, HAIR)
        stray = int((dark & ~tinged).sum())
        total = int(dark.sum())
        if total == 0:
            fail(where, f"the {name} shows nothing")
        elif stray > STRAY:
            ys, xs = np.nonzero(dark & ~tinged)
            fail(where, f"{stray} of {total} dark pixels of the {name} are missing in the other, e.g. at {xs[0]}, {ys[0]}")
    # And the same amount of ink, so that no line is fatter in one of them.
    amounts = [(255 - p.astype(float)).sum() for p in (one, other)]
    difference = abs(amounts[0] - amounts[1]) / max(amounts)
    if difference > 0.03:
        fail(where, f"the amount of ink differs by {difference:.1%}")
    return difference


def millimetres(text):
    assert text.endswith("mm"), text
    return float(text[:-2])


def bars(svg):
    """Boxes (x0, y0, x1, y1) in millimetres of groups that hold measuring bars."""
    for group in svg.iter(SVG + "g"):
        if not group.get("id", "").startswith("bar-100mm"):
            continue
        points = []
        for path in group.iter(SVG + "path"):
            numbers = path.get("d").replace("M", " ").replace("L", " ").replace("Z", " ").split()
            points += list(zip(map(float, numbers[::2]), map(float, numbers[1::2])))
        xs, ys = [p[0] for p in points], [p[1] for p in points]
        yield min(xs), min(ys), max(xs), max(ys)


def measure_bar(where, page, box):
    """The distances between the end strokes of a pair of crossing bars, on paper, at 600 dpi."""
    dpi = 600
    picture = pdf_picture(page, dpi)
    dots = dpi / 25.4
    x0, y0, x1, y1 = (round(v * dots) for v in box)
    pad = round(1.0 * dots)
    cut = 255.0 - picture[y0 - pad : y1 + pad, x0 - pad : x1 + pad].astype(float)
    found = []
    for axis in (0, 1):
        # A stroke across the bar adds to one column (or row); the bar itself adds little to each.
        band = round(5.0 * dots)
        strip = cut[-band:, :] if axis == 0 else cut[:, :band].T
        profile = strip.sum(axis=0)
        strong = np.nonzero(profile > 0.6 * profile.max())[0]
        runs = np.split(strong, np.nonzero(np.diff(strong) > 1)[0] + 1)
        centres = [float((run * profile[run]).sum() / profile[run].sum()) for run in runs]
        length = (centres[-1] - centres[0]) / dots
        found.append(length)
        if abs(length - 100.0) > 0.1:
            fail(where, f"the 100 mm bar measures {length:.3f} mm {'along' if axis == 0 else 'up'} the page")
    return found


def words_of(svg):
    return ["".join(t.itertext()).strip() for t in svg.iter(SVG + "text")]


def page_text(page):
    return page.get_textpage().get_text_range()


def squeezed(text):
    return "".join(text.split())


def check_document(path, document, count):
    data = path.read_bytes()
    if not data.startswith(b"%PDF-1.7"):
        fail(path.name, f"begins with {data[:8]!r}")
    if raw.FPDF_VIEWERREF_GetPrintScaling(document.raw):
        fail(path.name, "viewers may scale it when printing (PrintScaling is not None)")
    marks = list(document.get_toc())
    reached = {mark.get_dest().get_index() if hasattr(mark, "get_dest") else mark.page_index for mark in marks}
    if reached != set(range(count)):
        fail(path.name, f"bookmarks lead to {len(reached)} of {count} pages")
    if path.name == "drawings.pdf" and count > 3 and max(mark.level for mark in marks) == 0:
        fail(path.name, "bookmarks are not nested: no chapters")
    if b"GTS_PDFX" in data:
        fail(path.name, "claims to be a file for a print shop (GTS_PDFX)")


def main(arguments):
    if not arguments:
        sys.exit(__doc__)
    folder = pathlib.Path(arguments[0])
    save = pathlib.Path(arguments[arguments.index("--save") + 1]) if "--save" in arguments else None
    pdfs = [folder / "drawings.pdf"] if (folder / "drawings.pdf").exists() else sorted(folder.glob("**/*.pdf"))
    svgs = sorted((folder / "sheets").glob("*.svg"))
    if len(pdfs) != 1 or not svgs:
        sys.exit(f"{folder}: {len(pdfs)} PDF files and {len(svgs)} sheets; one set is wanted")
    document = pdfium.PdfDocument(str(pdfs[0]))
    if len(document) != len(svgs):
        fail(pdfs[0].name, f"{len(document)} pages for {len(svgs)} sheets")
    check_document(pdfs[0], document, len(svgs))
    for number, (path, page) in enumerate(zip(svgs, document)):
        svg = ET.parse(path).getroot()
        title = svg.find(SVG + "title")
        if title is None or not (title.text or "").strip():
            fail(path.name, "has no title")
        size = millimetres(svg.get("width")), millimetres(svg.get("height"))
        if svg.get("viewBox") != f"0 0 {svg.get('width')[:-2]} {svg.get('height')[:-2]}":
            fail(path.name, f"viewBox {svg.get('viewBox')} is not the paper in millimetres")
        paper = tuple(v * 25.4 / 72 for v in page.get_size())
        if max(abs(a - b) for a, b in zip(size, paper)) > 0.01:
            fail(path.name, f"is {size} mm, its page in the PDF {paper} mm")
        from_pdf = pdf_picture(page, DPI)
        from_svg = svg_picture(path, DPI)
        difference = same_drawing(path.name, from_svg, from_pdf)
        text = squeezed(page_text(page))
        for words in words_of(svg):
            if squeezed(words) not in text:
                fail(path.name, f"the PDF's text lacks {words!r}")
        measured = [measure_bar(path.name, page, box) for box in bars(svg)]
        print(f"{path.name}: {paper[0]:.2f} × {paper[1]:.2f} mm, ink differs {difference or 0:.2%}"
              + "".join(f", bars {a:.3f} and {b:.3f} mm" for a, b in measured))
        if save:
            save.mkdir(parents=True, exist_ok=True)
            Image.fromarray(from_svg).save(save / f"{number + 1:02}-svg.png")
            Image.fromarray(from_pdf).save(save / f"{number + 1:02}-pdf.png")
    if failures:
        sys.exit(f"{len(failures)} faults")
    print(f"{folder}: {len(svgs)} sheets, SVG and PDF show the same drawing")


if __name__ == "__main__":
    main(sys.argv[1:])
