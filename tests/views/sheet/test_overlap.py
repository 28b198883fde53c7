"""On a printed layout sheet no text meets another text or a line, whatever the job: read from the PDF by PDFium."""

import pytest
import shapely

from flangelayout.drawing.model import Sheet, SheetSet
from flangelayout.geometry.shapes import Box
from flangelayout.job import Job
from flangelayout.packet.job import layout_pages
from flangelayout.value import replace
from flangelayout.views.page.border import border_items
from flangelayout.writers.pdf import write_pdf
from rows import first_of
from views.printed_page import Geometries, PrintedPage, printed_pages
from views.random_outlines import random_outline
from views.sheet_reader import random_job


def faults(job: Job, sheets: SheetSet | None = None, printed: list[PrintedPage] | None = None) -> list[str]:
    """What is wrong with the printed pages of a job, one line each."""
    sheets = sheets or layout_pages(job)
    pages = printed or printed_pages(write_pdf(sheets))
    frames = [job.sheet.border.frame(sheet.paper) for sheet in sheets.sheets]
    bare = [replace(sheet, views=(), furniture=border_items(job.sheet.border, sheet.paper)) for sheet in sheets.sheets]
    borders = printed_pages(write_pdf(replace(sheets, sheets=tuple(bare))))
    found: list[str] = []
    for number, (page, border, frame) in enumerate(zip(pages, borders, frames, strict=True), 1):
        found += [f"sheet {number}: {fault}" for fault in (*meetings(page), *outside(page, border, frame))]
    return found


def meetings(page: PrintedPage) -> list[str]:
    """Texts whose ink shares a place with another text or with any stroke in its full width."""
    texts = shapely.STRtree(page.rooms)
    pairs = texts.query(page.rooms, predicate="intersects").T
    met = [(a, b) for a, b in pairs if a < b and page.rooms[a].intersection(page.rooms[b]).area > 1e-6]
    crossed = texts.query(page.strokes, predicate="dwithin", distance=page.reach).T
    words = [text.words for text in page.texts]
    return [
        *(f"{words[a]!r} meets {words[b]!r}" for a, b in met),
        *(f"{words[b]!r} is crossed by {_named(page.strokes[a])}" for a, b in crossed),
    ]


def outside(page: PrintedPage, border: PrintedPage, frame: Box) -> list[str]:
    """What is printed beyond the frame and is no part of the border as it stands alone."""
    room = shapely.box(frame.left, frame.bottom, frame.right, frame.top).buffer(1e-2)
    strokes = _beyond(room, page.strokes) - _beyond(room, border.strokes)
    words = _beyond(room, page.rooms) - _beyond(room, border.rooms)
    return [f"{shape} leaves the frame" for shape in sorted(strokes | words)]


def _beyond(room: shapely.Geometry, shapes: Geometries) -> set[str]:
    held = shapely.covers(room, shapes)
    return {_named(shape) for shape, inside in zip(shapes, held, strict=True) if not inside}


def _named(shape: shapely.Geometry) -> str:
    left, bottom, right, top = shape.bounds
    return f"{shape.geom_type} from ({left:.1f}, {bottom:.1f}) to ({right:.1f}, {top:.1f})"


def spoiled(sheet: Sheet) -> Sheet:
    """A sheet with a text that is crossed, and one that stands half outside of the frame."""
    from flangelayout.drawing.layers import Layer
    from flangelayout.drawing.model import Item, Label
    from flangelayout.drawing.references import Furniture
    from flangelayout.geometry.shapes import Line, Point

    line = Item(Layer.OUTLINE, Line(Point(20.0, 60.0), Point(60.0, 60.0)), Furniture("a stray line"))
    label = Item(Layer.TEXT, Label(Point(30.0, 59.0), "crossed", 2.5), Furniture("a label"))
    lost = Item(Layer.TEXT, Label(Point(sheet.paper.width - 12.0, 80.0), "beyond", 2.5), Furniture("a label"))
    return replace(sheet, furniture=(*sheet.furniture, line, label, lost))


def test_the_check_sees_a_text_that_is_crossed_and_one_beyond_the_frame() -> None:
    job = random_job(0)
    sheets = layout_pages(job)
    first, *others = sheets.sheets
    wrong = faults(job, replace(sheets, sheets=(spoiled(first), *others)))
    assert any("'crossed' is crossed by" in fault for fault in wrong)
    assert any("leaves the frame" in fault for fault in wrong)
    assert not faults(job, sheets)


@pytest.mark.parametrize("seeds", first_of([range(2), range(2, 30)]))
def test_no_text_meets_anything_on_thirty_random_jobs(seeds: range) -> None:
    assert not {seed: told for seed in seeds if (told := faults(random_job(seed)))}


@pytest.mark.property_deep
@pytest.mark.parametrize("block", range(50))
def test_no_text_meets_anything_on_five_hundred_random_jobs(block: int) -> None:
    found = {seed: told for seed in range(100 + 10 * block, 110 + 10 * block) if (told := faults(random_job(seed)))}
    assert not found


@pytest.mark.property_deep
@pytest.mark.parametrize("block", range(20))
def test_no_text_meets_anything_on_two_hundred_random_outlines(block: int) -> None:
    found = {seed: told for seed in range(10 * block, 10 * block + 10) if (told := faults(random_outline(seed)))}
    assert not found
