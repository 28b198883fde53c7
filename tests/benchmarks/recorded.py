"""What a job's files hold, as plain numbers and texts for :mod:`bare`: everything exploded and placed beforehand."""

from collections import Counter
from collections.abc import Iterable
from typing import Any

from flangelayout.drawing.explode import Primitive
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import (
    DiameterDimension,
    Item,
    Label,
    Leader,
    LinearDimension,
    MeasuredText,
    Mosaic,
    Sheet,
    SheetSet,
    Solid,
)
from flangelayout.drawing.settings import TemplateSettings
from flangelayout.drawing.textwidth import FONT_FILE, font_size
from flangelayout.flange.cutting import CutOptions
from flangelayout.geometry.shapes import Arc, Circle, Contour, Line, Point
from flangelayout.job import Job
from flangelayout.packet.job import cut_page, face_template, layout_pages, template_page
from flangelayout.views.cut.finished import finished_cut
from flangelayout.views.template.pages import template_sheets
from flangelayout.views.words.hole_tables import hole_list
from flangelayout.writers.placing import layer_runs, text_start

Data = dict[str, Any]


def tiled_sheets(job: Job) -> SheetSet:
    layout = TemplateSettings(job.template.paper, job.template.overlap, job.template.margin)
    return template_sheets(face_template(job), layout)


def record(job: Job) -> Data:
    """Everything of a packet."""
    cut = finished_cut(job.flange, job.info, CutOptions(), job.unit)
    single, sheets = template_page(job), layout_pages(job)
    table = hole_list(job.flange, job.unit)
    view = sheets.sheets[0].views[0]
    layers = {item.layer for sheet in sheets.sheets for item in (*view.drawing.items, *sheet.furniture)}
    return {
        "font": str(FONT_FILE),
        "cut": [
            [item.layer.pen.name, item.what.center.x, item.what.center.y, item.what.radius]
            for item in cut.items
            if isinstance(item.what, Circle)
        ],
        "cut_page": pages(SheetSet((cut_page(job),), sheets.stamp))["pages"][0],
        "template": pages(tiled_sheets(job)),
        "single": pages(single),
        "sheet": pages(sheets),
        "layers": sorted(layer.pen.name for layer in layers),
        "model": [flat for item in view.drawing.items if not _is_dimension(item) for flat in _dxf([item], view.scale)],
        "dimensions": [_dimension(item.what) for item in view.drawing.items if _is_dimension(item)],
        "paper": [_paper(sheet) for sheet in sheets.sheets],
        "holes": [list(table.columns), *(list(row) for row in table.rows)],
    }


def pages(sheets: SheetSet) -> Data:
    """Pages with views of runs of one pen; a drawing that is shown more than once is a form."""
    shown = Counter(id(view.drawing) for sheet in sheets.sheets for view in sheet.views)
    forms: dict[str, Any] = {}
    out = []
    for sheet in sheets.sheets:
        views = []
        for view in sheet.views:
            name = f"form{id(view.drawing)}" if shown[id(view.drawing)] > 1 else None
            runs = _runs(view.drawing.items, view.scale)
            if name:
                forms.setdefault(name, runs)
            box = view.clip_paper
            clip = [box.left, box.bottom, box.width, box.height] if box else None
            at = [view.at_paper.x, view.at_paper.y]
            views.append({"form": name, "runs": [] if name else runs, "at": at, "clip": clip})
        views.append({"form": None, "runs": _runs(sheet.furniture, 1.0), "at": [0, 0], "clip": None})
        out.append({"size": [sheet.paper.width, sheet.paper.height], "views": views})
    return {"forms": forms, "pages": out}


def _runs(items: Iterable[Item], scale: float) -> list[Any]:
    found = []
    for layer, run in layer_runs(items, scale):
        pen = [layer.pen.width_paper, list(layer.pen.dashes_paper), layer.pen.gray]
        found.append([pen, [flat for primitive in run for flat in _flat(primitive, scale)]])
    return found


def _dxf(items: Iterable[Item], scale: float) -> list[Any]:
    """Items of model space at real size: kind, layer, values."""
    found = []
    for layer, run in layer_runs(items, scale):
        for primitive in run:
            found += [[flat[0], layer.pen.name, *flat[1:]] for flat in _flat(primitive, 1.0, scale)]
    return found


def _paper(sheet: Sheet) -> Data:
    windows = []
    for view in sheet.views:
        size = [sheet.paper.width, sheet.paper.height]
        middle = Point(size[0] / 2, size[1] / 2)
        seen = (middle - view.at_paper).scaled(1 / view.scale)
        windows.append([[middle.x, middle.y], size, [seen.x, seen.y], size[1] / view.scale])
    size = [sheet.paper.width, sheet.paper.height]
    return {"size": size, "windows": windows, "items": _dxf(sheet.furniture, 1.0)}


def _flat(primitive: Primitive, scale: float, text_scale: float = 1.0) -> list[list[Any]]:
    match primitive:
        case Circle(center, radius):
            return [["c", center.x * scale, center.y * scale, radius * scale]]
        case Line(start, end):
            return [["l", start.x * scale, start.y * scale, end.x * scale, end.y * scale]]
        case Arc(center, radius, first, sweep):
            return [["a", center.x * scale, center.y * scale, radius * scale, first, sweep]]
        case Contour(parts):
            return [flat for part in parts for flat in _flat(part, scale, text_scale)]
        case Solid() | Mosaic():
            return [["s", [[c.x * scale, c.y * scale] for c in outline]] for outline in primitive.outlines]
        case Label():
            at = text_start(primitive, scale * text_scale)
            size = font_size(primitive.height_paper) / text_scale
            return [["t", at.x * scale, at.y * scale, size, primitive.rotation_deg, primitive.text]]


def _is_dimension(item: Item) -> bool:
    return isinstance(item.what, LinearDimension | DiameterDimension | Leader) and item.layer is Layer.DIMENSION


def _dimension_text(said: str | MeasuredText) -> str:
    """A dimension's words as a plain script gives them: the measured value is ``<>``."""
    return f"{said.before}<>{said.after}" if isinstance(said, MeasuredText) else said


def _dimension(what: object) -> list[Any]:
    match what:
        case LinearDimension(start, end, at, angle, text):
            return ["linear", [start.x, start.y], [end.x, end.y], [at.x, at.y], angle, _dimension_text(text)]
        case DiameterDimension(center, radius, angle, text):
            return ["diameter", [center.x, center.y], radius, angle, _dimension_text(text)]
        case Leader(tip, elbow, text):
            return ["leader", [tip.x, tip.y], [elbow.x, elbow.y], list(text)]
        case _:
            raise AssertionError(what)
