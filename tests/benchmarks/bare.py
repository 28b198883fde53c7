"""A packet written with the bare libraries: the same entities and texts, given as plain numbers.

What somebody would write who knows exactly what stands where: no model, no checks, no layout, no text widths.
Run as a program it takes a JSON file of :func:`recorded.record` and a folder.
"""

import json
import sys
from io import BytesIO, StringIO
from pathlib import Path
from typing import Any

import ezdxf.filemanagement
import svgwrite
import svgwrite.base
from ezdxf.document import Drawing as DxfDocument
from ezdxf.graphicsfactory import CreatorInterface
from reportlab.pdfbase import pdfmetrics
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas

Data = dict[str, Any]
_POINTS_PER_MM = 72 / 25.4  # a program without the project has its own


def packet(data: Data) -> dict[str, bytes]:
    """Every file of the packet."""
    return {
        "cut.dxf": cut_dxf(data["cut"]),
        "cut.svg": page_svg(data["cut_page"]),
        "template.pdf": pages_pdf(data["template"], data["font"]),
        "template.svg": page_svg(data["single"]["pages"][0]),
        "sheet.pdf": pages_pdf(data["sheet"], data["font"]),
        "sheet.dxf": sheet_dxf(data),
        "holes.csv": "\n".join(",".join(row) for row in data["holes"]).encode(),
    }


def cut_dxf(circles: list[Any]) -> bytes:
    document = ezdxf.filemanagement.new("R2000")
    document.header["$INSUNITS"] = 4
    space = document.modelspace()
    for layer, x, y, radius in circles:
        if layer not in document.layers:
            document.layers.add(layer)
        space.add_circle((x, y), radius, {"layer": layer})
    return _saved(document)


def sheet_dxf(data: Data) -> bytes:
    """The layout sheet: the view in model space with real dimensions, frame and tables in paper space."""
    document = ezdxf.filemanagement.new("R2010", setup=["linetypes"])
    document.header["$INSUNITS"] = 4
    document.styles.add("SHEET", font="arialn.ttf")
    for layer in data["layers"]:
        document.layers.add(layer)
    space = document.modelspace()
    _dxf_items(space, data["model"])
    for dimension in data["dimensions"]:
        _dxf_dimension(space, dimension)
    for number, page in enumerate(data["paper"]):
        layout = document.layouts.new(f"Page {number + 1}")
        layout.page_setup(size=page["size"], margins=(0, 0, 0, 0), units="mm")
        for center, size, seen, height in page["windows"]:
            layout.add_viewport(center, size, seen, height)
        _dxf_items(layout, page["items"])
    return _saved(document)


def _dxf_items(space: CreatorInterface, items: list[Any]) -> None:
    for kind, layer, *values in items:
        attributes = {"layer": layer}
        if kind == "c":
            space.add_circle(values[:2], values[2], attributes)
        elif kind == "l":
            space.add_line(values[:2], values[2:], attributes)
        elif kind == "a":
            x, y, radius, start, sweep = values
            space.add_arc((x, y), radius, start, start + sweep, dxfattribs=attributes)
        elif kind == "s":
            space.add_solid(values[0], attributes)
        elif kind == "t":
            x, y, height, turn, text = values
            more = {"style": "SHEET", "rotation": turn, "insert": (x, y)}
            space.add_text(text, height=height, dxfattribs=attributes | more)


def _dxf_dimension(space: CreatorInterface, dimension: list[Any]) -> None:
    kind, *values = dimension
    if kind == "linear":
        start, end, at, angle, text = values
        space.add_linear_dim(base=at, p1=start, p2=end, angle=angle, text=text).render()
    elif kind == "diameter":
        center, radius, angle, text = values
        space.add_diameter_dim(center=center, radius=radius, angle=angle, text=text).render()
    elif kind == "leader":
        tip, elbow, lines = values
        space.add_leader([tip, elbow])
        for line in lines:
            space.add_text(line, height=2.5, dxfattribs={"insert": elbow})


def _saved(document: DxfDocument) -> bytes:
    out = StringIO()
    document.write(out)
    return out.getvalue().encode("utf-8")


def page_svg(page: Data) -> bytes:
    width, height = page["size"]
    document = svgwrite.Drawing(size=(f"{width}mm", f"{height}mm"), viewBox=f"0 0 {width} {height}", debug=False)
    for view in page["views"]:
        left, up = view["at"]
        for pen, items in view["runs"]:
            group = document.g(fill="none", stroke="black", stroke_width=pen[0])
            for item in items:
                group.add(_svg_item(document, item, left, height - up))
            document.add(group)
    return str(document.tostring()).encode()


def _svg_item(document: svgwrite.Drawing, item: list[Any], left: float, down: float) -> svgwrite.base.BaseElement:
    kind, *v = item
    if kind == "c":
        return document.circle((round(left + v[0], 6), round(down - v[1], 6)), round(v[2], 6))
    if kind == "l":
        start, end = (left + v[0], down - v[1]), (left + v[2], down - v[3])
        return document.line([round(each, 6) for each in start], [round(each, 6) for each in end])
    if kind == "s":
        return document.polygon([(round(left + x, 6), round(down - y, 6)) for x, y in v[0]])
    if kind == "t":
        place = (round(left + v[0], 6), round(down - v[1], 6))
        turn = {"transform": f"rotate({-v[3]} {place[0]} {place[1]})"} if v[3] else {}
        return document.text(v[4], place, font_size=v[2], font_family="sans-serif", **turn)
    return document.path(d=f"M {left + v[0]} {down - v[1]} A {v[2]} {v[2]} 0 0 0 {left + v[0]} {down - v[1]}")


def pages_pdf(data: Data, font: str, redraw: bool = False) -> bytes:
    """Pages as PDF; what several of them show is stored once, unless it is to be drawn again on each."""
    if "Bare" not in pdfmetrics.getRegisteredFontNames():
        pdfmetrics.registerFont(TTFont("Bare", font))
    out = BytesIO()
    canvas = Canvas(out, pdfVersion=(1, 6), pageCompression=1)
    canvas.setViewerPreference("PrintScaling", "None")
    if not redraw:
        for name, runs in data["forms"].items():
            canvas.beginForm(name, -10_000, -10_000, 10_000, 10_000)
            _pdf_runs(canvas, runs)
            canvas.endForm()
    for page in data["pages"]:
        canvas.setPageSize([edge * _POINTS_PER_MM for edge in page["size"]])
        canvas.scale(_POINTS_PER_MM, _POINTS_PER_MM)
        for view in page["views"]:
            canvas.saveState()
            if view["clip"]:
                path = canvas.beginPath()
                path.rect(*view["clip"])
                canvas.clipPath(path, stroke=0)
            canvas.translate(*view["at"])
            name = view["form"]
            if name and not redraw:
                canvas.doForm(name)
            else:
                _pdf_runs(canvas, data["forms"][name] if name else view["runs"])
            canvas.restoreState()
        canvas.showPage()
    canvas.save()
    return out.getvalue()


def _pdf_runs(canvas: Canvas, runs: list[Any]) -> None:
    for (width, dashes, gray), items in runs:
        canvas.setLineWidth(width)
        canvas.setDash(dashes)
        canvas.setStrokeGray(gray)
        for item in items:
            _pdf_item(canvas, item)


def _pdf_item(canvas: Canvas, item: list[Any]) -> None:
    kind, *v = item
    if kind == "c":
        canvas.circle(*v)
    elif kind == "l":
        canvas.line(*v)
    elif kind == "a":
        x, y, r, start, sweep = v
        canvas.arc(x - r, y - r, x + r, y + r, start, sweep)
    elif kind == "s":
        path = canvas.beginPath()
        path.moveTo(*v[0][0])
        for corner in v[0][1:]:
            path.lineTo(*corner)
        path.close()
        canvas.drawPath(path, fill=1)
    elif kind == "t":
        x, y, size, turn, text = v
        canvas.setFont("Bare", size)
        if turn:
            canvas.saveState()
            canvas.translate(x, y)
            canvas.rotate(turn)
            canvas.drawString(0, 0, text)
            canvas.restoreState()
        else:
            canvas.drawString(x, y, text)


if __name__ == "__main__":
    folder = Path(sys.argv[2])
    folder.mkdir(parents=True, exist_ok=True)
    for file_name, content in packet(json.loads(Path(sys.argv[1]).read_text())).items():
        (folder / file_name).write_bytes(content)
