"""Frame and title block of a nest sheet: what it is, of which plate, with room for what is written in at the table."""

from collections.abc import Iterator, Mapping

from flangelayout.drawing.border import Border, Cell, Margins, Shows
from flangelayout.drawing.convention import Convention
from flangelayout.drawing.model import Item, Paper
from flangelayout.geometry.shapes import Box
from flangelayout.views.page.border import border_items
from flangelayout.views.page.title_block import SheetFacts, beyond_cells, block_room, title_block

_MARGINS = Margins(20.0, 10.0, 10.0, 10.0)
"""20 mm on the left for filing, as ISO 5457 has it."""
_WIDTH = 112.0
_ROWS: tuple[tuple[float, tuple[tuple[str, Shows, float, float], ...]], ...] = (
    (6.0, (("OWNER", Shows.OWNER, 112.0, 2.5),)),
    (6.0, (("TITLE", Shows.TITLE, 76.0, 2.5), ("DATE", Shows.DATE, 36.0, 2.5))),
    (6.0, (("PLATE", Shows.MATERIAL, 112.0, 2.5),)),
    (
        9.0,
        (
            ("HEAT NUMBER", Shows.BLANK, 44.0, 2.5),
            ("CUT BY", Shows.BLANK, 32.0, 2.5),
            ("DATE CUT", Shows.BLANK, 36.0, 2.5),
        ),
    ),
    (
        10.0,
        (
            ("DIGEST", Shows.DIGEST, 26.0, 2.5),
            ("SCALE", Shows.SCALE, 16.0, 2.5),
            ("SHEET", Shows.SHEET, 16.0, 2.5),
            ("NEST", Shows.NUMBER, 54.0, 5.0),
        ),
    ),
)
"""From the top: height of the row, and caption, content, width and height of capitals of its cells, in printed mm."""


def _cells() -> Iterator[Cell]:
    top = sum(height for height, _ in _ROWS)
    for height, cells in _ROWS:
        left = 0.0
        for caption, shows, width, text in cells:
            yield Cell(Box(left, top - height, left + width, top), caption, shows, text_height=text)
            left += width
        top -= height


NEST_BORDER = Border("nest", _MARGINS, (), _WIDTH, sum(height for height, _ in _ROWS), tuple(_cells()))


def nest_frame(page: Paper) -> Box:
    """What of a page lies inside its frame."""
    return NEST_BORDER.frame(page)


def nest_block_room(page: Paper) -> Box:
    """Where the title block stands."""
    return block_room(NEST_BORDER, page)


def framed(page: Paper, values: Mapping[Shows, str], scale: str, number: int, count: int) -> tuple[Item, ...]:
    """Frame and title block of one sheet of several."""
    facts = SheetFacts(scale, "", number, count)
    return (*border_items(NEST_BORDER, page), *title_block(NEST_BORDER, page, dict(values), Convention.ISO, facts))


def told_elsewhere(values: Mapping[Shows, str]) -> Iterator[str]:
    """What has no room in its cell, as sentences."""
    return (f"{what}: {value}." for what, value in beyond_cells(NEST_BORDER, dict(values), Convention.ISO))
