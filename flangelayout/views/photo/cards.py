"""Pages of numbered cards to lay on a flange that is measured by photo, with bars that tell how true they print."""

from collections.abc import Iterator, Sequence

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Anchor, Item, Mosaic, Paper, Sheet, SheetSet, Stamp
from flangelayout.drawing.papers import paper
from flangelayout.drawing.printer import BARS, Printer
from flangelayout.drawing.references import Furniture
from flangelayout.geometry.shapes import Box, Line, Point, rectangle
from flangelayout.views.page.qr import code_mosaic, dark_modules
from flangelayout.views.page.text import paragraph, text_item
from flangelayout.views.template.paper import correction_text
from flangelayout.vision.cards import CODE_UNITS, CardSize, PhotoCard, cards_of

_COLUMNS = {CardSize.LARGE: 3, CardSize.SMALL: 5}
_GAP = 2.0
_HEAD = 15.0
_ASIDE = 4.0
_BAR_ROOM = 7.0
_TICK = 2.5
_TEXT = 2.5


def card_sheets(paper_name: str, stamp: Stamp, printer: Printer | None = None) -> SheetSet:
    """A page of cards of 52 mm and one of 36 mm for narrow faces, upright, at full scale.

    Args:
        paper_name: One of ``papers.PAPER_NAMES``.
        stamp: Carries the program's version; no job.
        printer: A measured printer, which the pages are corrected for.
    """
    page = paper(paper_name)
    x, y = printer.factors(page.width > page.height) if printer else (1.0, 1.0)
    printed = Paper(page.name, page.width * x, page.height * y)
    note = correction_text(printer, (x, y)) if printer else ""
    sheets = tuple(_page(printed, size, note) for size in CardSize)
    return SheetSet(sheets, stamp, stretch=(1 / x, 1 / y))


def _page(page: Paper, size: CardSize, note: str) -> Sheet:
    cards, columns = cards_of(size), _COLUMNS[size]
    pitch, rows = size.value + _GAP, -(-len(cards) // columns)
    left = (page.width - columns * pitch + _GAP) / 2 + _ASIDE
    top = page.height - _HEAD
    items = [text_item(Point(left, top + 4.0), f"CARDS OF {size.value} mm FOR PHOTOS OF A FLANGE", 4.0)]
    for index, card in enumerate(cards):
        middle = Point(
            left + size.value / 2 + pitch * (index % columns), top - size.value / 2 - pitch * (index // columns)
        )
        items += _card(card, middle)
    low = min(top - rows * pitch + _GAP, top - BARS[-1]) - _BAR_ROOM
    items += _bars(page, left - _BAR_ROOM, top, low)
    words, _ = paragraph((page.width - BARS[-1]) / 2, low - 4.0, BARS[-1], _words(note), _TEXT)
    return Sheet(page, (), (*items, *words), f"cards {size.value}")


def _card(card: PhotoCard, middle: Point) -> Iterator[Item]:
    """A card about its middle: the line to cut along, its code, its crossings and its number."""
    import segno

    name = Furniture(f"card {card.text}")
    yield Item(Layer.PAPER_CUT, rectangle(_at(card.edge, middle)), name)
    dark = dark_modules(segno.make_micro(card.text, error="m").matrix)
    corner = Point(middle.x + card.code.left, middle.y + card.code.top)
    yield Item(Layer.CODE, code_mosaic(dark, corner, card.code.width / CODE_UNITS), name)
    yield Item(Layer.CODE, Mosaic(tuple(_at(square, middle) for square in card.dark_squares)), name)
    yield text_item(Point(middle.x, middle.y - 11.6 * card.size.unit), card.text, _TEXT, Anchor.CENTER)


def _at(box: Box, middle: Point) -> Box:
    return Box(box.left + middle.x, box.bottom + middle.y, box.right + middle.x, box.top + middle.y)


def _bars(page: Paper, left: float, top: float, low: float) -> Iterator[Item]:
    """Bar X level under the cards and bar Y upright beside them, each with marks at 0, 140 and 200 mm."""
    long = BARS[-1]
    start = (page.width - long) / 2
    yield Item(Layer.TEMPLATE_MARKS, Line(Point(start, low), Point(start + long, low)), Furniture("bar X"))
    yield Item(Layer.TEMPLATE_MARKS, Line(Point(left, top - long), Point(left, top)), Furniture("bar Y"))
    for station in (0.0, *BARS):
        x, y = start + station, top - long + station
        across = Line(Point(x, low - _TICK), Point(x, low + _TICK))
        yield Item(Layer.TEMPLATE_MARKS, across, Furniture("bar X"))
        along = Line(Point(left - _TICK, y), Point(left + _TICK, y))
        yield Item(Layer.TEMPLATE_MARKS, along, Furniture("bar Y"))
        if station:
            yield text_item(Point(x - 1.0, low + 0.8), f"X {station:.0f}", _TEXT, Anchor.RIGHT)
            yield text_item(Point(left - 0.8, y - 1.0), f"Y {station:.0f}", _TEXT, Anchor.RIGHT, 90.0)


def _words(note: str) -> Sequence[str]:
    return (
        *([note] if note else []),
        "Print at 100 % / actual size on stiff paper and cut out. Lay 4 to 8 flat on the face that has the holes, "
        "between them all round, any way turned, none over a rim. Wipe the face. No flash.",
        "Measure bar X and bar Y with a caliper between the middles of two marks, to 140 or to 200 mm.",
        "Take three photos with the main lens from 1.5 times the flange's diameter, at least 0.5 m: one square on, two "
        "tilted 20 to 25 degrees from different sides. Then: flangelayout photo 1.jpg 2.jpg 3.jpg --holes 8 "
        "--hole-diameter 22.1 --bars 199.8 200.1",
        "Not yet tried on real flanges; the caliper decides.",
    )
