"""A printed page as PDFium finds it: texts by their ink, strokes by their width; the layout is asked nothing."""

import ctypes
import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import shapely

from readers import MM_PER_POINT

Geometries = np.ndarray[Any, np.dtype[np.object_]]
Place = tuple[float, float]

CAPITALS = 1493 / 2048
"""Height of the capitals of DejaVu Sans Condensed in ems, by the ``sCapHeight`` of the font's OS/2 table."""
_CURVE_STEPS = 12
_SPACE = 2.0
"""Printed mm that two pieces of one text lie apart at the most: a space between signs of two parts of the font."""


@dataclass(frozen=True, slots=True)
class PrintedText:
    """A text with the rectangle round its ink and the height of its capitals, in mm from the lower left corner."""

    words: str
    corners: tuple[Place, Place, Place, Place]
    height: float

    @property
    def middle(self) -> Place:
        """The middle of the ink."""
        return sum(x for x, _ in self.corners) / 4, sum(y for _, y in self.corners) / 4


@dataclass(frozen=True, slots=True)
class PrintedPage:
    """A page, in mm from its lower left corner; ``reach`` is half the width of each stroke."""

    width: float
    height: float
    texts: list[PrintedText]
    rooms: Geometries
    strokes: Geometries
    reach: np.ndarray[Any, np.dtype[np.float64]]


def printed_pages(data: bytes) -> list[PrintedPage]:
    """Every page of a PDF."""
    with pypdfium2.PdfDocument(data) as document:
        return [_page(document[index]) for index in range(len(document))]


def _page(page: pypdfium2.PdfPage) -> PrintedPage:
    textpage, pieces = page.get_textpage(), []
    lines: list[np.ndarray[Any, Any]] = []
    reach: list[float] = []
    for each in page.get_objects(max_depth=4):
        if each.type == pdfium.FPDF_PAGEOBJ_TEXT:
            pieces.append(_piece(each, textpage))
        elif each.type == pdfium.FPDF_PAGEOBJ_PATH:
            found = [_on_page(line, each) for line in _polylines(each)]
            lines += found
            reach += [_half_width(each)] * len(found)
    texts = [text for text in _joined(pieces) if text.words.strip()]
    rooms = shapely.polygons(np.array([text.corners for text in texts], dtype=float).reshape(-1, 4, 2))
    owners = np.repeat(np.arange(len(lines)), [len(line) for line in lines])
    strokes = shapely.linestrings(np.concatenate([np.empty((0, 2)), *lines]), indices=owners)
    width, height = (size * MM_PER_POINT for size in page.get_size())
    return PrintedPage(width, height, texts, rooms, strokes, np.array(reach))


def _on_page(points: list[Place], of: pypdfium2.PdfObject | None) -> np.ndarray[Any, Any]:
    """Points of an object, or of a form, in mm on the page, through every form that holds it."""
    at, inside = np.array(points), of
    while inside:
        a, b, c, d, e, f = inside.get_matrix().get()
        at = at @ np.array([[a, b], [c, d]]) + np.array([e, f])
        inside = inside.container
    return at * MM_PER_POINT


def _enlarged(of: pypdfium2.PdfObject) -> float:
    """How many mm on the page a unit of an object is."""
    (x, y), (right, up) = _on_page([(0.0, 0.0), (0.0, 1.0)], of)
    return math.hypot(right - x, up - y)


def _half_width(path: pypdfium2.PdfObject) -> float:
    width, fill, stroke = ctypes.c_float(), ctypes.c_int(), ctypes.c_int()
    pdfium.FPDFPath_GetDrawMode(path, fill, stroke)
    pdfium.FPDFPageObj_GetStrokeWidth(path, width)
    return width.value / 2 * _enlarged(path) if stroke.value else 0.0


def _polylines(path: pypdfium2.PdfObject) -> Iterator[list[Place]]:
    """The lines of a path in its own units, curves in short pieces."""
    line: list[Place] = []
    bends: list[Place] = []
    x, y = ctypes.c_float(), ctypes.c_float()
    for index in range(pdfium.FPDFPath_CountSegments(path)):
        segment = pdfium.FPDFPath_GetPathSegment(path, index)
        pdfium.FPDFPathSegment_GetPoint(segment, x, y)
        at = x.value, y.value
        match pdfium.FPDFPathSegment_GetType(segment):
            case pdfium.FPDF_SEGMENT_MOVETO:
                if len(line) > 1:
                    yield line
                line = [at]
            case pdfium.FPDF_SEGMENT_LINETO:
                line.append(at)
            case _:
                bends.append(at)
                if len(bends) == 3:
                    line += _bent(line[-1], *bends)
                    bends = []
        if pdfium.FPDFPathSegment_GetClose(segment):
            line.append(line[0])
    if len(line) > 1:
        yield line


def _bent(start: Place, near: Place, far: Place, end: Place) -> list[Place]:
    t = np.linspace(0, 1, _CURVE_STEPS + 1)[1:, None]
    ends = (np.array(each) for each in (start, near, far, end))
    a, b, c, d = ends
    points = (1 - t) ** 3 * a + 3 * (1 - t) ** 2 * t * b + 3 * (1 - t) * t**2 * c + t**3 * d
    return [(float(px), float(py)) for px, py in points]


@dataclass(frozen=True, slots=True)
class _Piece:
    """Signs that stand in one part of the font: a text or a part of one."""

    text: PrintedText
    font: str


def _piece(each: pypdfium2.PdfObject, textpage: pypdfium2.PdfTextPage) -> _Piece:
    quad, size = pdfium.FS_QUADPOINTSF(), ctypes.c_float()
    pdfium.FPDFPageObj_GetRotatedBounds(each, quad)
    pdfium.FPDFTextObj_GetFontSize(each, size)
    bounds = [(getattr(quad, f"x{k}"), getattr(quad, f"y{k}")) for k in (1, 2, 3, 4)]
    corners = [(float(x), float(y)) for x, y in _on_page(bounds, each.container)]
    length = pdfium.FPDFTextObj_GetText(each, textpage, None, 0)
    signs = (ctypes.c_ushort * length)()
    pdfium.FPDFTextObj_GetText(each, textpage, signs, length)
    words = bytes(signs).decode("utf-16le").rstrip("\0 ")
    a, b, c, d = corners
    return _Piece(PrintedText(words, (a, b, c, d), size.value * _enlarged(each) * CAPITALS), _font(each))


def _font(each: pypdfium2.PdfObject) -> str:
    font = pdfium.FPDFTextObj_GetFont(each)
    name = ctypes.create_string_buffer(100)
    pdfium.FPDFFont_GetBaseFontName(font, name, 100)
    return name.value.decode()


def _joined(pieces: list[_Piece]) -> Iterator[PrintedText]:
    """Texts whole again: a sign outside of the first part of the font makes a piece of its own."""
    text, font = None, ""
    for piece in pieces:
        if text and piece.font != font and (longer := _continued(text, piece.text)):
            text = longer
        else:
            if text:
                yield text
            text = piece.text
        font = piece.font
    if text:
        yield text


def _continued(one: PrintedText, other: PrintedText) -> PrintedText | None:
    """Both as one text where the other goes on on the same line; ``None`` where it does not."""
    (ax, ay), (bx, by), _, _ = one.corners
    along = math.hypot(bx - ax, by - ay)
    if abs(one.height - other.height) > 1e-3 or along < 1e-6:
        return None
    ux, uy = (bx - ax) / along, (by - ay) / along

    def turned(place: Place) -> Place:
        x, y = place[0] - ax, place[1] - ay
        return x * ux + y * uy, y * ux - x * uy

    own, more = ([turned(place) for place in text.corners] for text in (one, other))
    gap = min(x for x, _ in more) - max(x for x, _ in own)
    low, high = (fold(y for _, y in (*own, *more)) for fold in (min, max))
    if not -0.2 < gap < _SPACE or high - low > 1.6 * one.height:
        return None
    right = max(x for x, _ in more)
    box = ((0.0, low), (right, low), (right, high), (0.0, high))
    a, b, c, d = ((ax + x * ux - y * uy, ay + x * uy + y * ux) for x, y in box)
    return PrintedText(one.words + other.words, (a, b, c, d), one.height)
