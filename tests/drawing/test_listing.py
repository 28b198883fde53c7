from dataclasses import replace

from builders import A4, drawing_of, item, sheet_of, sheets_of, stadium, view_of
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.listing import list_drawing, list_sheets
from flangelayout.drawing.model import Anchor, CenterMark, Drawing, Label, Leader, LinearDimension, Solid
from flangelayout.geometry.shapes import ORIGIN, Arc, Box, Circle, Point

DRAWING = drawing_of(
    item(Circle(Point(-45.922, 110.866), 11.0), Layer.CUT_HOLES, "bolt circle A, hole 1"),
    item(stadium(20.0, 10.0), Layer.CUT_OUTLINE, "outline"),
    item(CenterMark(Point(0.0, -0.0001), 5.0, 0.5), Layer.CUT_MARKS),
    item(LinearDimension(ORIGIN, Point(9.0, 0.0), Point(0.0, 5.0), 0.0, "9"), Layer.DIMENSION),
    item(Leader(ORIGIN, Point(5.0, 5.0), ("8X ⌀22", "EQ SP"), to_right=False), Layer.DIMENSION),
    item(Solid((ORIGIN, Point(1.0, 0.0), Point(0.0, 1.0))), Layer.TABLE),
    item(Label(Point(1.0, 2.0), "TOP\n", 2.5, 90.0, Anchor.MIDDLE), Layer.TEXT),
    title="adapter",
)
GOLDEN = """\
drawing 'adapter': 7 items
  CUT_HOLES Circle center=(-45.922, 110.866) radius=11.000  <bolt circle A, hole 1>
  CUT_OUTLINE Contour parts=[Line(start=(-10.000, -5.000), end=(10.000, -5.000)), \
Arc(center=(10.000, 0.000), radius=5.000, start_deg=-90.000, sweep_deg=180.000), \
Line(start=(10.000, 5.000), end=(-10.000, 5.000)), \
Arc(center=(-10.000, 0.000), radius=5.000, start_deg=90.000, sweep_deg=180.000)] closed=True  <outline>
  CUT_MARKS CenterMark at=(0.000, 0.000) reach_paper=5.000 gap_paper=0.500
  DIMENSION LinearDimension start=(0.000, 0.000) end=(9.000, 0.000) line_at=(0.000, 5.000) angle_deg=0.000 text='9'
  DIMENSION Leader tip=(0.000, 0.000) elbow=(5.000, 5.000) text=['8X ⌀22', 'EQ SP'] to_right=False
  TABLE Solid corners=[(0.000, 0.000), (1.000, 0.000), (0.000, 1.000)]
  TEXT Label at=(1.000, 2.000) text='TOP\\n' height_paper=2.500 rotation_deg=90.000 anchor=MIDDLE
"""


def listing(drawing: Drawing) -> str:
    return "\n".join(list_drawing(drawing)) + "\n"


def test_a_drawing_reads_line_by_line() -> None:
    assert listing(DRAWING) == GOLDEN


def test_a_damaged_drawing_reads_differently() -> None:
    hole = DRAWING.items[0]
    damaged = [
        replace(DRAWING, items=DRAWING.items[1:]),
        replace(DRAWING, items=DRAWING.items[::-1]),
        replace(DRAWING, title="other"),
        replace(DRAWING, items=(replace(hole, what=Circle(Point(-45.923, 110.866), 11.0)), *DRAWING.items[1:])),
        replace(DRAWING, items=(replace(hole, layer=Layer.CUT_BORE), *DRAWING.items[1:])),
        replace(DRAWING, items=(replace(hole, source="bolt circle A, hole 2"), *DRAWING.items[1:])),
    ]
    assert GOLDEN not in {listing(drawing) for drawing in damaged}


def test_less_than_a_micrometer_does_not_show() -> None:
    near = drawing_of(Arc(Point(1e-5, -1e-5), 5.0 + 1e-5, 0.0, 90.0))
    assert listing(near) == listing(drawing_of(Arc(ORIGIN, 5.0, 0.0, 90.0)))


def test_a_whole_number_reads_as_the_same_length() -> None:
    assert listing(drawing_of(Circle(Point(1, 2), 5))) == listing(drawing_of(Circle(Point(1.0, 2.0), 5.0)))


def test_sheets_list_views_and_furniture_and_a_drawing_once() -> None:
    drawing = drawing_of(Circle(ORIGIN, 5.0), title="front")
    first = sheet_of(
        view_of(drawing, 0.2, Point(105.0, 150.0)),
        view_of(drawing, 0.2, ORIGIN, Box(0.0, 0.0, 10.0, 10.0)),
        furniture=[Circle(ORIGIN, 1.0)],
        name="one",
    )
    assert list(list_sheets(sheets_of(first, sheet_of(paper=A4)))) == [
        "sheet 1 'one' on A4 210.000 x 297.000",
        " view of 'front' scale 0.2 at (105.000, 150.000)",
        " drawing 'front': 1 items",
        "   OUTLINE Circle center=(0.000, 0.000) radius=5.000",
        " view of 'front' scale 0.2 at (0.000, 0.000)",
        "  BORDER Circle center=(0.000, 0.000) radius=1.000",
        "sheet 2 '' on A4 210.000 x 297.000",
    ]
