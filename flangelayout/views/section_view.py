"""The section beside the face view: thickness, bore and raised face, cut along the vertical centerline.

Third-angle projection: what is right of the face view is seen from the right, so its left edge is the face.
Bolt holes are turned into the plane of the section, the first circle above, the next one below, as is usual
for round parts (ISO 128-3, features on a pitch circle; clause from memory).
"""

from collections.abc import Iterator

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Label, LinearDimension
from flangelayout.flange import BoltCircle, Flange
from flangelayout.geometry.shapes import Box, Line, Point, rectangle
from flangelayout.units import Unit, size_text
from flangelayout.views.wording import diameter_text

_HATCH_PITCH = 2.2
GAP = 9.0
"""Printed mm between the plate of the face view and the section."""
_FIRST, _STEP = 7.5, 7.0


def width_needed(flange: Flange, unit: Unit, scale: float) -> float:
    """Printed mm from the edge of the face view to the end of the section's dimensions; 0 without a section."""
    if flange.thickness is None:
        return 0.0
    from flangelayout.drawing.textwidth import text_width

    count = (flange.bore is not None) + (flange.raised_face_diameter is not None)
    dimensions = _FIRST + _STEP * (count - 1) + 3.0 if count else 0.0
    text = 5.0 + text_width(size_text(flange.thickness, unit), 2.5) + 2.0
    return GAP + flange.thickness * scale + max(dimensions, text)


def section_view(flange: Flange, unit: Unit, scale: float) -> tuple[Item, ...]:
    """The section in the face view's space, to the right of the plate and level with it; empty without a thickness."""
    if flange.thickness is None:
        return ()
    left = flange.outline.outside_diameter / 2 + GAP / scale
    blocks = _metal(flange, left)
    return (
        *(Item(Layer.OUTLINE, rectangle(block), "section") for block in blocks),
        *(item for block in blocks for item in _hatch(block, scale)),
        *_silhouettes(flange, left),
        *_centerlines(flange, left, scale),
        *_dimensions(flange, unit, left, scale),
    )


def _metal(flange: Flange, left: float) -> list[Box]:
    """What the section cuts, as upright rectangles: between holes and bore, and the raised face before them."""
    thickness, face = flange.thickness or 0.0, flange.raised_face_height
    radius, bore = flange.outline.outside_diameter / 2, (flange.bore or 0.0) / 2
    shown = _shown_circles(flange)
    gaps = [(-bore, bore)] if bore else []
    for side, circle in zip((1, -1), shown, strict=False):
        middle, half = side * circle.diameter / 2, circle.hole_diameter / 2
        gaps.append((middle - half, middle + half))
    blocks = [Box(left + face, low, left + thickness, high) for low, high in _between(-radius, radius, gaps)]
    if face and flange.raised_face_diameter:
        half = flange.raised_face_diameter / 2
        blocks += [Box(left, low, left + face, high) for low, high in _between(-half, half, gaps)]
    return blocks


def _shown_circles(flange: Flange) -> tuple[BoltCircle, ...]:
    """The circle whose hole is shown above and the one shown below the center."""
    circles = flange.bolt_circles[:2]
    return circles * 2 if len(circles) == 1 else circles


def _between(low: float, high: float, gaps: list[tuple[float, float]]) -> Iterator[tuple[float, float]]:
    """The stretches from ``low`` to ``high`` that no gap takes."""
    at = low
    for start, end in sorted(gaps):
        if start > high:
            break
        if start > at:
            yield at, start
        at = max(at, end)
    if at < high:
        yield at, high


def _hatch(block: Box, scale: float) -> Iterator[Item]:
    """Lines at 45 degrees, the same across all blocks of the section."""
    pitch = _HATCH_PITCH / scale * 2**0.5
    first = int((block.bottom - block.right) / pitch) - 1
    last = int((block.top - block.left) / pitch) + 1
    for index in range(first, last + 1):
        rise = index * pitch
        low, high = max(block.left, block.bottom - rise), min(block.right, block.top - rise)
        if high > low:
            yield Item(Layer.HATCH, Line(Point(low, low + rise), Point(high, high + rise)), "section")


def _silhouettes(flange: Flange, left: float) -> Iterator[Item]:
    """The edges behind the cut: the far sides of the bore and the holes close the gaps at both faces."""
    thickness, face = flange.thickness or 0.0, flange.raised_face_height
    if flange.bore is None:
        return
    front = left if flange.raised_face_diameter else left + face
    for x in (front, left + thickness):
        yield Item(Layer.OUTLINE, Line(Point(x, -flange.bore / 2), Point(x, flange.bore / 2)), "bore")


def _centerlines(flange: Flange, left: float, scale: float) -> Iterator[Item]:
    past, thickness = 2.5 / scale, flange.thickness or 0.0
    levels = [0.0, *(s * c.diameter / 2 for s, c in zip((1, -1), _shown_circles(flange), strict=False))]
    for y in levels:
        yield Item(Layer.CENTERLINE, Line(Point(left - past, y), Point(left + thickness + past, y)), "centerline")


def _dimensions(flange: Flange, unit: Unit, left: float, scale: float) -> Iterator[Item]:
    thickness, radius = flange.thickness or 0.0, flange.outline.outside_diameter / 2
    right = left + thickness
    over = Point(left, radius + 6.0 / scale)
    size = LinearDimension(Point(left, radius), Point(right, radius), over, 0.0, size_text(thickness, unit))
    yield Item(Layer.DIMENSION, size, "thickness")
    sizes = [(flange.bore, right, "BORE"), (flange.raised_face_diameter, left + flange.raised_face_height, "R.F.")]
    for index, (diameter, edge, name) in enumerate((d, x, n) for d, x, n in sizes if d is not None):
        at = Point(right + (_FIRST + _STEP * index) / scale, 0.0)
        ends = Point(edge, -diameter / 2), Point(edge, diameter / 2)
        text = f"{diameter_text(diameter, unit)} {name}"
        yield Item(Layer.DIMENSION, LinearDimension(*ends, at, 90.0, text), name.lower())
    if flange.raised_face_height:
        y = -radius - 6.0 / scale
        ends = Point(left, -(flange.raised_face_diameter or 0.0) / 2), Point(left + flange.raised_face_height, -radius)
        height = LinearDimension(*ends, Point(left, y), 0.0, size_text(flange.raised_face_height, unit))
        yield Item(Layer.DIMENSION, height, "raised face height")
    title = Label(Point(left + thickness / 2, -radius - 14.0 / scale), "SECTION", 2.0, 0.0, Anchor.CENTER)
    yield Item(Layer.TEXT, title, "section")
