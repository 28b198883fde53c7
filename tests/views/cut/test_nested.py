"""What is cut and marked of a piece lies where the nest has it, turned as it is."""

from flangelayout.drawing.info import JobInfo
from flangelayout.drawing.model import CenterMark
from flangelayout.flange import Drilling, Flange, RectangleOutline, SingleHole
from flangelayout.flange.cutting import CutOptions, Mark
from flangelayout.geometry.shapes import Circle, Point
from flangelayout.nest import Nest, PlacedPiece, Stock
from flangelayout.units import Unit
from flangelayout.views.cut.finished import finished_cut
from flangelayout.views.cut.nested import nest_drawing, nest_pieces
from rows import every_row


@every_row(("turn", "wanted"), [(0.0, (390.0, 220.0)), (90.0, (280.0, 290.0)), (180.0, (210.0, 180.0))])
def test_the_cross_of_a_hole_is_turned_and_moved_with_its_hole(turn: float, wanted: tuple[float, float]) -> None:
    holes = (SingleHole(Point(90.0, 20.0), Drilling(14.0)),)
    plate = Flange(RectangleOutline(240.0, 80.0), (), single_holes=holes)
    drawing = finished_cut(plate, JobInfo("T-1"), CutOptions(marks=(Mark.CENTERS,)), Unit.MM)
    pieces = tuple(nest_pieces(drawing, "T-1", 1, 0))
    nest = Nest(Stock(600.0, 400.0), (pieces[0].part,), (PlacedPiece(0, 0, turn, Point(300.0, 200.0)),), ())
    drawn = [item.what for item in nest_drawing(nest, pieces, 0).items]
    (cross,) = (what.at for what in drawn if isinstance(what, CenterMark))
    (hole,) = (what.center for what in drawn if isinstance(what, Circle) and what.radius == 7.0)
    assert cross.distance_to(Point(*wanted)) < 1e-9
    assert hole.distance_to(Point(*wanted)) < 1e-9
