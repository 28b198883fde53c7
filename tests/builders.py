"""Small drawings, sheets and stamps for tests; what a test does not name is filled in."""

from collections.abc import Iterable

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Content, Drawing, Item, Label, Paper, Sheet, SheetSet, Stamp, View
from flangelayout.drawing.references import HoleRef, OpeningRef, OutlineRef, Ref
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Circle, Contour, Line, Point, polar
from flangelayout.value import replace

A4 = Paper("A4", 210.0, 297.0)
STAMP = Stamp(
    job_number="H-114", revision="A", digest="5f3c09be", date="2026-03-02", version="0.1.0", title="Intake adapter"
)


def stamp(**changes: str) -> Stamp:
    """The usual stamp with some fields changed."""
    return replace(STAMP, **changes)


def item(what: Content, layer: Layer = Layer.OUTLINE, source: Ref | None = None) -> Item:
    """One thing on a layer."""
    return Item(layer, what, source)


def drawing_of(*contents: Content | Item, layer: Layer = Layer.OUTLINE, title: str = "drawing") -> Drawing:
    """A drawing of the things given; those that are no items yet go on ``layer``."""
    return Drawing(title, tuple(each if isinstance(each, Item) else Item(layer, each) for each in contents))


def view_of(drawing: Drawing, scale: float = 1.0, at: Point = ORIGIN, clip: Box | None = None) -> View:
    """A view whose drawing's origin stands at ``at`` on the paper."""
    return View(drawing, scale, at, clip)


def sheet_of(*views: View, furniture: Iterable[Content | Item] = (), paper: Paper = A4, name: str = "") -> Sheet:
    """A page with views and furniture."""
    return Sheet(paper, views, drawing_of(*furniture, layer=Layer.BORDER).items, name)


def sheets_of(*sheets: Sheet, by: Stamp = STAMP) -> SheetSet:
    """Pages of one job."""
    return SheetSet(sheets, by)


def one_page(*contents: Content | Item, scale: float = 1.0, at: Point = ORIGIN, paper: Paper = A4) -> SheetSet:
    """One page with one view of the things given."""
    return sheets_of(sheet_of(view_of(drawing_of(*contents), scale, at), paper=paper))


def label(text: str, at: Point = ORIGIN, height: float = 2.5) -> Item:
    """A text on the text layer."""
    return Item(Layer.TEXT, Label(at, text, height))


def ring(hole_count: int = 8, diameter: float = 240.0, hole_diameter: float = 22.0) -> tuple[Item, ...]:
    """Holes on a bolt circle, a bore and an outline, as a cut file has them; holes straddle."""
    centers = [polar(diameter / 2, (number + 0.5) * 360 / hole_count) for number in range(hole_count)]
    holes = (
        Item(Layer.CUT_HOLES, Circle(center, hole_diameter / 2), HoleRef(str(number)))
        for number, center in enumerate(centers, 1)
    )
    bore = Item(Layer.CUT_BORE, Circle(ORIGIN, 0.35 * diameter), OpeningRef(0))
    return (*holes, bore, Item(Layer.CUT_OUTLINE, Circle(ORIGIN, 0.6 * diameter), OutlineRef()))


def stadium(length: float = 200.0, height: float = 100.0) -> Contour:
    """A closed outline of two lines and two half circles, counter-clockwise."""
    half, radius = length / 2, height / 2
    return Contour(
        (
            Line(Point(-half, -radius), Point(half, -radius)),
            Arc(Point(half, 0.0), radius, -90.0, 180.0),
            Line(Point(half, radius), Point(-half, radius)),
            Arc(Point(-half, 0.0), radius, 90.0, 180.0),
        ),
        closed=True,
    )


def gap_in_contour(contour: Contour) -> float:
    """The widest gap in mm between the end of one part and the start of the next, the last to the first."""
    following = (*contour.parts[1:], contour.parts[0])
    return max(part.end.distance_to(after.start) for part, after in zip(contour.parts, following, strict=True))
