"""Written files read back by programs that had no part in writing them: GDAL, svgelements, PDFium, pdfminer."""

import ctypes
from io import BytesIO, StringIO
from typing import Any, NamedTuple

import ezdxf.filemanagement
import numpy as np
import pdfplumber
import pyogrio.raw
import pypdfium2
import pypdfium2.raw as pdfium
import shapely
import svgelements
from ezdxf.document import Drawing as DxfDocument
from ezdxf.lldxf.encoding import decode_dxf_unicode

from flangelayout.units import Unit, to_mm

MM_PER_POINT = to_mm(1.0, Unit.IN) / 72
SVG_DOTS_PER_INCH = to_mm(1.0, Unit.IN)


class FoundCircle(NamedTuple):
    """A circle as a reader sees it, in mm."""

    x: float
    y: float
    radius: float


class FoundShape(NamedTuple):
    """A line string GDAL made of an entity, its layer and its text."""

    layer: str
    points: "np.ndarray[Any, np.dtype[np.float64]]"
    text: str | None


def dxf_shapes(data: bytes) -> list[FoundShape]:
    """Every entity GDAL finds, in file order and file units; a point for a text."""
    _, _, geometries, columns = pyogrio.raw.read(BytesIO(data), columns=["Layer", "Text"])
    layers, texts = columns
    return [
        FoundShape(layer, shapely.get_coordinates(shapely.from_wkb(geometry)), text)
        for layer, geometry, text in zip(layers, geometries, texts, strict=True)
    ]


def dxf_circles(data: bytes, unit: Unit = Unit.MM) -> list[FoundCircle]:
    """Circles GDAL finds, in mm; it draws them as closed strings of vertices that lie on the true circle."""
    found = []
    for shape in dxf_shapes(data):
        points = shape.points * to_mm(1.0, unit)
        if len(points) > 40 and np.allclose(points[0], points[-1]):
            circle = _circle_through(points[:-1])
            if circle:
                found.append(circle)
    return found


def svg_elements(data: bytes) -> list[Any]:
    """Every element of an SVG file, in mm, y down."""
    parsed = svgelements.SVG.parse(StringIO(data.decode()), ppi=SVG_DOTS_PER_INCH)
    return list(parsed.elements())


def svg_circles(data: bytes, page_height: float) -> list[FoundCircle]:
    """Circles of an SVG file, in mm from the lower left corner of the page."""
    return [
        FoundCircle(float(each.cx), page_height - float(each.cy), float(each.rx))
        for each in svg_elements(data)
        if isinstance(each, svgelements.Circle)
    ]


def pdf_curves(data: bytes, page: int = 0) -> list[dict[str, Any]]:
    """Curved paths of a page; ``mm`` holds their operators with points in mm from the lower left corner."""
    with pdfplumber.open(BytesIO(data)) as document:
        shown = document.pages[page]
        height = float(shown.height)
        return [{**curve, "mm": [_in_mm(step, height) for step in curve["path"]]} for curve in shown.curves]


def pdf_circles(data: bytes, page: int = 0) -> list[FoundCircle]:
    """Circles of a page in mm: closed paths of Bezier pieces whose joints lie on a circle."""
    found = []
    with pypdfium2.PdfDocument(data) as document:
        for path in document[page].get_objects(filter=[pdfium.FPDF_PAGEOBJ_PATH]):
            segments = [pdfium.FPDFPath_GetPathSegment(path, at) for at in range(pdfium.FPDFPath_CountSegments(path))]
            kinds = [pdfium.FPDFPathSegment_GetType(each) for each in segments]
            curved = all(kind == pdfium.FPDF_SEGMENT_BEZIERTO for kind in kinds[1:])
            if len(kinds) > 18 and curved and pdfium.FPDFPathSegment_GetClose(segments[-1]):
                circle = _circle_through(np.array([_end_in_mm(each, path) for each in segments[3::3]]))
                found += [circle] if circle else []
    return found


def _end_in_mm(segment: Any, path: Any) -> tuple[float, float]:  # noqa: ANN401 - of the raw interface
    x, y = ctypes.c_float(), ctypes.c_float()
    pdfium.FPDFPathSegment_GetPoint(segment, x, y)
    at, inside = (x.value, y.value), path
    while inside:
        at, inside = inside.get_matrix().on_point(*at), inside.container
    return at[0] * MM_PER_POINT, at[1] * MM_PER_POINT


def bezier_points(path: list[tuple[Any, ...]], steps: int = 33) -> "np.ndarray[Any, np.dtype[np.float64]]":
    """Points along the Bezier pieces of a path of :func:`pdf_curves`."""
    t = np.linspace(0, 1, steps)[:, None]
    points = []
    current = np.array(path[0][1])
    for kind, *ends in path[1:]:
        if kind == "c":
            near, far, end = (np.array(point) for point in ends)
            points.append((1 - t) ** 3 * current + 3 * (1 - t) ** 2 * t * near + 3 * (1 - t) * t**2 * far + t**3 * end)
        if ends:
            current = np.array(ends[-1])
    return np.concatenate(points)


def pdf_text(data: bytes, page: int = 0) -> list[str]:
    """The texts of a page, in the order of drawing, spaces left out at their ends; level texts only."""
    with pypdfium2.PdfDocument(data) as document:
        return str(document[page].get_textpage().get_text_range()).split("\r\n")


def _in_mm(step: tuple[Any, ...], height: float) -> tuple[Any, ...]:
    kind, *points = step
    return (kind, *((x * MM_PER_POINT, (height - y) * MM_PER_POINT) for x, y in points))


def _circle_through(points: "np.ndarray[Any, np.dtype[np.float64]]") -> FoundCircle | None:
    """The circle on which evenly spread points lie, if they do."""
    center = points.mean(axis=0)
    radii = np.hypot(*(points - center).T)
    if np.ptp(radii) > 0.002:
        return None
    return FoundCircle(float(center[0]), float(center[1]), float(radii.mean()))


def dxf_document(data: bytes) -> DxfDocument:
    """A DXF file as ezdxf reads it, escapes of characters undone as every CAD program does."""
    encoding = "utf-8" if b"AC1024" in data[:4000] else "cp1252"
    return ezdxf.filemanagement.read(StringIO(decode_dxf_unicode(data.decode(encoding))))


def dxf_groups(data: bytes) -> list[tuple[int, str]]:
    """The raw groups of a DXF file; the file is sound only if code and value lines take turns to the end."""
    lines = data.decode("utf-8" if b"AC1024" in data[:4000] else "cp1252").split("\n")
    assert lines.pop() == ""
    return [(int(code), value) for code, value in zip(lines[::2], lines[1::2], strict=True)]


def pdf_pages_text(data: bytes) -> str:
    """Everything that all pages say, one line after the other with a space between, as the sentences go on."""
    return " ".join(pdf_pages(data))


def pdf_pages(data: bytes) -> list[str]:
    """What each page says, one line after the other with a space between."""
    with pypdfium2.PdfDocument(data) as document:
        return [" ".join(page.get_textpage().get_text_range().split()) for page in document]
