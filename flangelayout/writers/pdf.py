"""Pages as PDF: true size, vector, text selectable, a drawing that many pages show stored once.

Everything is written in mm under one matrix per page; reportlab's own path methods keep seven digits
and four-piece circles, so paths are written as operators and reportlab does pages, forms and fonts.
"""

import math
from collections import Counter
from collections.abc import Callable, Iterable
from functools import cache
from io import BytesIO
from typing import TYPE_CHECKING, assert_never

from msgspec import Struct

from flangelayout.drawing.explode import Primitive
from flangelayout.drawing.layers import Layer, Pen
from flangelayout.drawing.model import Drawing, Item, Label, Mosaic, Sheet, SheetSet, Solid, View
from flangelayout.drawing.textwidth import FONT_FILE, font_size, plain_line
from flangelayout.errors import OutputError
from flangelayout.facts import Length
from flangelayout.geometry.shapes import Arc, Box, Circle, Contour, Line, box_of_all
from flangelayout.problems.output import OutputProblem
from flangelayout.units import Unit, from_mm
from flangelayout.writers.numbers import fixed, spaced
from flangelayout.writers.pdf_attachment import Attachment, attach
from flangelayout.writers.pdf_paths import filled_boxes, open_path, placed_circle, polygons
from flangelayout.writers.placing import PROGRAM, heading, identity_lines, layer_runs, text_start

if TYPE_CHECKING:
    from reportlab.pdfgen.canvas import Canvas

LARGEST_PAGE_POINTS = 14400
"""Longest side of a page that every viewer takes (ISO 32000-1, annex C: 14400 units, 200 in)."""

_POINTS_PER_MM = from_mm(1.0, Unit.IN) * 72
_FONT = "FlangeLayoutCondensed"

_VERSION, _VERSION_OF_DUPLEX = (1, 6), (1, 7)
"""Of a file, and of one that asks for one-sided printing (ISO 32000-1, table 150: Duplex)."""
_PAGES_FOR_BOOKMARKS = 4
_TURN_PLACES = 8

_FormKey = tuple[int, float]
_Pens = Callable[[Layer], Pen]
_Spelled = Callable[[str], list[tuple[str, str]]]
"""A text as operands: pieces in hexadecimal digits, each with the name of the font that has its letters."""


class PdfOptions(Struct, frozen=True):
    """How to write a PDF file; ``attachment`` is a file to carry along, for :mod:`flangelayout.files.recover`."""

    attachment: Attachment | None = None


def write_pdf(sheets: SheetSet, options: PdfOptions = PdfOptions()) -> bytes:
    """A PDF file with one page per sheet, each the size of its paper times the pages' stretch.

    Raises:
        OutputError: If a sheet is longer than PDF viewers can show.
    """
    for sheet in sheets.sheets:
        _check_size(sheet, sheets.stretch)
    out = BytesIO()
    canvas = _new_canvas(out, sheets)
    if options.attachment:
        attach(canvas, options.attachment)
    spelled = _spelled(canvas)
    forms = _make_forms(canvas, sheets, spelled)
    for number, sheet in enumerate(sheets.sheets, 1):
        if len(sheets.sheets) >= _PAGES_FOR_BOOKMARKS:
            _bookmark(canvas, sheet.name or f"page {number}", number)
        _draw_page(canvas, sheet, forms, sheets, spelled)
    canvas.save()
    return out.getvalue()


def _check_size(sheet: Sheet, stretch: tuple[float, float]) -> None:
    longest = max(sheet.paper.width * stretch[0], sheet.paper.height * stretch[1]) * _POINTS_PER_MM
    if longest > LARGEST_PAGE_POINTS:
        limit = LARGEST_PAGE_POINTS / _POINTS_PER_MM
        raise OutputError.of(
            OutputProblem.SHEET_BEYOND_PDF,
            width=Length(sheet.paper.width, Unit.MM),
            height=Length(sheet.paper.height, Unit.MM),
            most=Length(limit, Unit.MM),
            points=LARGEST_PAGE_POINTS,
        )


def _bookmark(canvas: "Canvas", name: str, number: int) -> None:
    """An entry of the list of pages that viewers show at the side."""
    key = f"page{number}"
    canvas.bookmarkPage(key)
    canvas.addOutlineEntry(plain_line(name), key)


def _new_canvas(out: BytesIO, sheets: SheetSet) -> "Canvas":
    from reportlab.pdfgen.canvas import Canvas

    _register_font()
    stamp, version = sheets.stamp, _VERSION_OF_DUPLEX if sheets.one_sided else _VERSION
    canvas = Canvas(out, invariant=1, pdfVersion=version, pageCompression=1, initialFontName=_FONT)
    canvas.setViewerPreference("PrintScaling", "None")
    if sheets.one_sided:
        canvas.setViewerPreference("Duplex", "Simplex")
    canvas.setTitle(heading(stamp))
    canvas.setSubject(", ".join(identity_lines(stamp)[1:]))
    canvas.setAuthor(PROGRAM)
    canvas.setCreator(identity_lines(stamp)[0])
    return canvas


def _register_font() -> None:
    """Make the drawing's font known to reportlab, once a process: its register of fonts is global.

    So is the switch by which streams stay binary, not spelled out in letters: files are smaller and made faster.
    """
    from reportlab import rl_config
    from reportlab.pdfbase import pdfmetrics
    from reportlab.pdfbase.ttfonts import TTFont

    if _FONT not in pdfmetrics.getRegisteredFontNames():
        rl_config.useA85 = 0
        pdfmetrics.registerFont(TTFont(_FONT, BytesIO(FONT_FILE.read_bytes()), asciiReadable=False, shapable=False))


def _spelled(canvas: "Canvas") -> _Spelled:
    """How a file spells texts, each looked up once, as reportlab asks of whoever writes in a font it takes apart."""
    from reportlab.pdfbase.pdfmetrics import getFont

    font, document = getFont(_FONT), canvas._doc

    @cache
    def spelled(text: str) -> list[tuple[str, str]]:
        pieces = font.splitString(plain_line(text), document)
        return [(font.getSubsetInternalName(subset, document), letters.hex()) for subset, letters in pieces]

    return spelled


def _make_forms(canvas: "Canvas", sheets: SheetSet, spelled: _Spelled) -> dict[_FormKey, str]:
    """Names of the drawings shown more than once, each stored as a form in paper mm round its own origin."""
    shown = Counter(_key(view) for sheet in sheets.sheets for view in sheet.views)
    names: dict[_FormKey, str] = {}
    for sheet in sheets.sheets:
        for view in sheet.views:
            key = _key(view)
            if shown[key] > 1 and key not in names:
                names[key] = f"drawing{len(names) + 1}"
                room = _room(view.drawing, view.scale, sheets.sheets)
                _add_form(canvas, names[key], room, _items_code(spelled, view.drawing.items, view.scale, sheets.pen))
    return names


def _add_form(canvas: "Canvas", name: str, room: Box, code: str) -> None:
    """Store a form, its code as bytes: reportlab's canvas looks each letter up, which takes longer than all else."""
    from reportlab.pdfbase.pdfdoc import PDFFormXObject

    form = PDFFormXObject(room.left, room.bottom, room.right, room.top)
    form.stream, form.compression = code.encode("ascii"), 1
    canvas._doc.addForm(name, form)


def _key(view: View) -> _FormKey:
    return id(view.drawing), view.scale


def _room(drawing: Drawing, scale: float, sheets: Iterable[Sheet]) -> Box:
    """The part of a drawing, in paper mm round its origin, that any of the views can show."""
    seen = [
        _window(view, sheet).moved(view.at_paper.scaled(-1))
        for sheet in sheets
        for view in sheet.views
        if view.drawing is drawing and view.scale == scale
    ]
    return box_of_all(seen).grown(1.0)


def _window(view: View, sheet: Sheet) -> Box:
    return view.clip_paper or Box(0.0, 0.0, sheet.paper.width, sheet.paper.height)


def _draw_page(canvas: "Canvas", sheet: Sheet, forms: dict[_FormKey, str], sheets: SheetSet, spelled: _Spelled) -> None:
    per_mm_x, per_mm_y = (_POINTS_PER_MM * factor for factor in sheets.stretch)
    canvas.setPageSize((sheet.paper.width * per_mm_x, sheet.paper.height * per_mm_y))
    canvas.addLiteral(f"q {fixed(per_mm_x, 10)} 0 0 {fixed(per_mm_y, 10)} 0 0 cm")
    for view in sheet.views:
        canvas.addLiteral(f"q{_clip(view.clip_paper)} 1 0 0 1 {spaced(view.at_paper.x, view.at_paper.y)} cm")
        name = forms.get(_key(view))
        if name:
            canvas.doForm(name)
        else:
            canvas.addLiteral(_items_code(spelled, view.drawing.items, view.scale, sheets.pen))
        canvas.addLiteral("Q")
    canvas.addLiteral(_items_code(spelled, sheet.furniture, 1.0, sheets.pen))
    canvas.addLiteral("Q")
    canvas.showPage()
    page = canvas._doc.Pages.pages[-1]
    page.stream = page.stream.encode("ascii")  # as :func:`_add_form` does


def _clip(box: Box | None) -> str:
    return f" {spaced(box.left, box.bottom, box.width, box.height)} re W n" if box else ""


def _items_code(spelled: _Spelled, items: Iterable[Item], scale: float, pen_of: _Pens) -> str:
    """Items in paper mm: what stands together on one layer shares one stroke; settings stay until others are due."""
    circles: dict[float, str] = {}
    pens: dict[Layer, tuple[str, str]] = {}
    code: list[str] = []
    stroked = filled = ""
    for layer, run in layer_runs(items, scale):
        drawn, labels = _run_code(run, scale, circles)
        pen = pens.get(layer)
        line, fill = pen or pens.setdefault(layer, _pen_code(pen_of(layer)))
        if drawn and line != stroked:
            stroked = line
            code.append(line)
        if fill != filled:
            filled = fill
            code.append(fill)
        code += drawn
        code += _text_code(spelled, labels, scale)
    return "\n".join(code)


def _run_code(run: list[Primitive], scale: float, circles: dict[float, str]) -> tuple[list[str], list[Label]]:
    """What draws the shapes of a run, and the texts that go over them."""
    paths: list[str] = []
    painted: list[str] = []
    labels: list[Label] = []
    for primitive in run:
        match primitive:
            case Label():
                labels += [primitive] if primitive.text else []
            case Circle():
                painted.append(placed_circle(primitive, scale, circles))
            case Line() | Arc() | Contour():
                paths.append(open_path(primitive, scale))
            case Solid():
                painted.append(polygons(primitive.outlines, scale))
            case Mosaic():
                painted.append(filled_boxes(primitive.boxes, scale))
            case _:
                assert_never(primitive)
    return [*paths, "S", *painted] if paths else painted, labels


def _pen_code(pen: Pen) -> tuple[str, str]:
    """Lines and fillings of a pen: dashes end square so that they are as long as said, solid lines meet round."""
    ends = "0 J 0 j" if pen.dashes_paper else "1 J 1 j"
    gray = fixed(pen.gray)
    return f"{fixed(pen.width_paper)} w {ends} [{spaced(*pen.dashes_paper)}] 0 d {gray} G", f"{gray} g"


def _text_code(spelled: _Spelled, labels: list[Label], scale: float) -> list[str]:
    """Texts as operators."""
    if not labels:
        return []
    code, set_up = ["BT"], ""
    for label in labels:
        size, start = fixed(font_size(label.height_paper)), text_start(label, scale)
        code.append(f"{_turn(label.rotation_deg)} {fixed(start.x * scale)} {fixed(start.y * scale)} Tm")
        for font, digits in spelled(label.text):
            wanted = f"{font} {size} Tf"
            code += [wanted] if wanted != set_up else []
            set_up = wanted
            code.append(f"<{digits}> Tj")
    return [*code, "ET"]


def _turn(degrees: float) -> str:
    if not degrees:
        return "1 0 0 1"
    turn = math.radians(degrees)
    cos, sin = math.cos(turn), math.sin(turn)
    return " ".join(fixed(value, _TURN_PLACES) for value in (cos, sin, -sin, cos))
