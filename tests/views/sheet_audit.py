"""A plate rebuilt from the dimensions of its sheet: what they say in words, by arithmetic and shapely alone.

The picture gives what a reader takes from it: which kind of plate it is, what lies beside what, which numbers holes
have. Every size comes from the text of a dimension. A size that is wanted and not there, one that stands twice, and one
that nothing needs are faults; one in brackets must follow from the others.
"""

import math
import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

import shapely
from shapely import affinity

from as_shapely import polygon
from flangelayout.drawing.model import (
    Dimension,
    Item,
    Label,
)
from flangelayout.drawing.references import Feature, OpeningRef
from flangelayout.flange import (
    FigureEightOutline,
    Flange,
    Hole,
    Slot,
)
from flangelayout.job import Job
from flangelayout.packet.job import layout_pages
from flangelayout.writers.pdf import write_pdf
from views.printed_page import printed_pages
from views.sheet_holes import rebuilt_holes
from views.sheet_outlines import among, disc, outline, rounded
from views.sheet_sizes import FINE, NUMBER, TIMES, AuditError, Dimensions, circle_of, dimensions_of, place_at

NEAR = 0.01
"""How far in mm a rebuilt edge may be from the cut one."""


def dimension_items(job: Job) -> tuple[tuple[Item, ...], str]:
    """The items of a job's layout that say something of it, and every word that stands beside it."""
    sheets = layout_pages(job).sheets
    views = [view for sheet in sheets for view in sheet.views if view.drawing.title == "layout"]
    words = [item.what.text for sheet in sheets for item in sheet.furniture if isinstance(item.what, Label)]
    items = (item for view in views for item in view.drawing.items)
    return tuple(item for item in items if isinstance(item.what, Dimension)), " ".join(words)


def unprinted(job: Job) -> list[str]:
    """Dimensions and call-outs of a job's first sheet whose words no reader of its PDF finds."""
    sheets = layout_pages(job)
    printed = Counter(text.words for text in printed_pages(write_pdf(sheets))[0].texts)
    items, _ = dimension_items(job)
    said = (item.what.text for item in items if isinstance(item.what, Dimension))
    lines = Counter(line for text in said for line in (text.split("\n") if isinstance(text, str) else text))
    return [f"{line} is not printed" for line in lines - printed]


def audit(job: Job, said: tuple[Iterable[Item], str] | None = None) -> list[str]:
    """What is wrong with the dimensions of a job's sheet, or with others in their place; nothing if they make it."""
    try:
        sizes = dimensions_of(job.unit, *(said or dimension_items(job)))
        flange = job.flange
        holes = dict(rebuilt_holes(sizes, flange))
        pieces = outline(sizes, flange, holes)
        wrong = [*_unlike("outline", pieces, [polygon(piece) for piece in flange.pieces()])]
        wrong += _wrong_holes(flange, holes)
        wrong += _wrong_openings(sizes, flange)
        wrong += _wrong_references(sizes, pieces)
        wrong += [f"{text}: nothing needs it" for text in sizes.leftover()]
        return wrong
    except AuditError as missing:
        return [str(missing)]


def _unlike(name: str, made: Sequence[shapely.Geometry], cut: Sequence[shapely.Geometry]) -> Iterator[str]:
    if len(made) != len(cut):
        yield f"{name}: {len(made)} for {len(cut)}"
        return
    for one in made:
        apart = min(shapely.hausdorff_distance(one.boundary, other.boundary) for other in cut)
        if apart > NEAR:
            yield f"{name} is {apart:.3f} mm from what is cut"


def _wrong_holes(flange: Flange, made: dict[str, tuple[float, float, float]]) -> Iterator[str]:
    drilled: dict[str, Hole] = {hole.label: hole for hole in flange.holes()}
    if set(made) != set(drilled):
        yield f"holes {sorted(set(made) ^ set(drilled))[:5]} are called out or drilled, not both"
        return
    for label, (x, y, size) in made.items():
        hole = drilled[label]
        apart = math.hypot(x - hole.center.x, y - hole.center.y)
        if apart > NEAR or abs(size - hole.diameter) > NEAR:
            yield f"hole {label} is {apart:.3f} mm off, {size} for {hole.diameter}"
        if isinstance(hole.kind, Slot) and hole.kind.length <= 0:
            yield f"slot {label} has no length"


def _wrong_openings(sizes: Dimensions, flange: Flange) -> Iterator[str]:
    cut = [polygon(opening.shape) for opening in flange.cutouts()]
    made: list[shapely.Geometry] = []
    bores = [each for each in sizes.told if each.feature is Feature.BORE]
    if bores:
        bore = sizes.take(Feature.BORE) / 2
        ring = isinstance(flange.outline, FigureEightOutline)
        distance = next((each.value for each in sizes.told if each.feature is Feature.CENTER_DISTANCE), 0.0)
        made.append(disc(bore, distance / 2 if ring else 0.0))
    for ref in [ref for ref in sizes.leaders if isinstance(ref, OpeningRef)]:
        made += _opening(sizes, sizes.say(ref))
    yield from _unlike("opening", made, cut)


def _opening(sizes: Dimensions, text: str) -> list[shapely.Geometry]:
    count_of = re.match(TIMES, text)
    count = int(count_of[1]) if count_of else 1
    radius = re.search(f"CORNERS R{NUMBER}", text)
    corner = sizes.length(radius[1]) if radius else 0.0
    if found := re.search(f"FROM ⌀{NUMBER} TO ⌀{NUMBER}, ([\\d.]+)° WIDE", text):
        inner, outer = (sizes.length(each) / 2 for each in found.groups()[:2])
        half, first = float(found[3]) / 2, among(text, count)
        wedge = [(0.0, 0.0), *(place_at(3 * outer, -half + 2 * half * k / 60) for k in range(61))]
        ring = disc(outer).difference(disc(inner)).intersection(shapely.Polygon(wedge))
        window = rounded(ring, corner)
        return [affinity.rotate(window, first + 360.0 * k / count, (0, 0)) for k in range(count)]
    if found := re.search(rf"SLOT {NUMBER}(?: × | X ){NUMBER}", text):
        width, length = (sizes.length(each) for each in found.groups())
        half = (length - width) / 2
        shape = shapely.LineString([(-half, 0), (half, 0)]).buffer(width / 2, quad_segs=FINE)
    elif found := re.search(
        rf"{NUMBER}(?: × | X ){NUMBER}(?:,|$)",
        text.rsplit(")", maxsplit=1)[-1] if ")" in text else text[len(count_of[0]) if count_of else 0 :],
    ):
        width, height = (sizes.length(each) for each in found.groups())
        shape = rounded(shapely.box(-width / 2, -height / 2, width / 2, height / 2), corner)
    else:
        found = re.search(f"⌀{NUMBER}", text)
        assert found
        shape = disc(sizes.length(found[1]) / 2)
    return list(_stood(sizes, text, shape, count))


def _stood(sizes: Dimensions, text: str, shape: shapely.Geometry, count: int) -> Iterator[shapely.Geometry]:
    if count > 1:
        reach, first = circle_of(sizes, text) / 2, among(text, count)
        turned = affinity.rotate(shape, first, (0, 0)) if "ALONG RADIUS" in text else shape
        x, y = place_at(reach, first)
        one = affinity.translate(turned, x, y)
        yield from (affinity.rotate(one, 360.0 * k / count, (0, 0)) for k in range(count))
        return
    across = re.search(r"([\d.]+) (RIGHT|LEFT) OF CENTER", text)
    up = re.search(r"([\d.]+) (ABOVE|BELOW) CENTER", text)
    at = (
        sizes.length(across[1]) * (1 if across[2] == "RIGHT" else -1) if across else 0.0,
        sizes.length(up[1]) * (1 if up[2] == "ABOVE" else -1) if up else 0.0,
    )
    turn = math.degrees(math.atan2(at[1], at[0])) if "ALONG RADIUS" in text else 0.0
    yield affinity.translate(affinity.rotate(shape, turn, (0, 0)), *at)


def _wrong_references(sizes: Dimensions, pieces: list[shapely.Geometry]) -> Iterator[str]:
    """Sizes in brackets that do not follow: over all, and the sides of an oval."""
    left, bottom, right, top = shapely.unary_union(pieces).bounds
    follows = {Feature.OVERALL_WIDTH: right - left, Feature.OVERALL_HEIGHT: top - bottom}
    for each in sizes.told:
        if each.is_reference and each.feature in follows and abs(each.value - follows[each.feature]) > 2 * NEAR:
            yield f"{each.feature.value} {each.text} does not follow"
