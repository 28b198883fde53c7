"""No text of a layout sheet meets another text or is crossed by any line, whatever the job."""

import pytest
import shapely

from flangelayout.drawing.model import SheetSet
from flangelayout.geometry.shapes import Box
from flangelayout.job import Job
from flangelayout.packet.job import layout_pages
from rows import first_of
from views.random_outlines import random_outline
from views.sheet_reader import Page, random_job, read_page

_ROUND_THE_FRAME = ("border", "zone", "centering mark", "fold mark")


def faults(job: Job, sheets: SheetSet | None = None) -> list[str]:
    """What is wrong with the pages of a job, one line each."""
    found: list[str] = []
    for sheet in (sheets or layout_pages(job)).sheets:
        page = read_page(sheet)
        told = (*meetings(page), *outside(page, job.sheet.border.frame(sheet.paper)))
        found += [f"{sheet.name}: {fault}" for fault in told]
    return found


def meetings(page: Page) -> list[str]:
    """Texts that share a place with another text or with any stroke."""
    texts = shapely.STRtree(page.rooms)
    pairs = texts.query(page.rooms, predicate="intersects").T
    met = [(a, b) for a, b in pairs if a < b and page.rooms[a].intersection(page.rooms[b]).area > 1e-6]
    crossed = texts.query(page.strokes, predicate="intersects").T
    return [
        *(f"{page.words[a]!r} meets {page.words[b]!r}" for a, b in met),
        *(f"{page.words[b]!r} is crossed by {page.sources[a]}" for a, b in crossed),
    ]


def outside(page: Page, frame: Box) -> list[str]:
    """What is drawn beyond the frame but is no part of the border."""
    room = shapely.box(frame.left, frame.bottom, frame.right, frame.top).buffer(1e-6)
    strokes = [
        source for source, held in zip(page.sources, shapely.covers(room, page.strokes), strict=True) if not held
    ]
    words = [word for word, held in zip(page.words, shapely.covers(room, page.rooms), strict=True) if not held]
    return [
        *(f"{source} leaves the frame" for source in strokes if not source.endswith(_ROUND_THE_FRAME)),
        *(f"{word!r} leaves the frame" for word in words if len(word) > 2),
    ]


def test_the_check_sees_a_text_that_is_crossed() -> None:
    from dataclasses import replace

    from flangelayout.drawing.layers import Layer
    from flangelayout.drawing.model import Item, Label
    from flangelayout.drawing.references import Furniture
    from flangelayout.geometry.shapes import Line, Point

    sheet = layout_pages(random_job(0)).sheets[0]
    line = Item(Layer.OUTLINE, Line(Point(20.0, 60.0), Point(60.0, 60.0)), Furniture("a stray line"))
    label = Item(Layer.TEXT, Label(Point(30.0, 59.0), "crossed", 2.5), Furniture("a label"))
    spoiled = replace(sheet, furniture=(*sheet.furniture, line, label))
    assert any("stray" in fault for fault in meetings(read_page(spoiled)))
    assert not meetings(read_page(sheet))


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
