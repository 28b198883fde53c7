"""With how many decimals sizes are written, where a shop's own block of tolerances goes by these."""

import re
from collections.abc import Iterator

from flangelayout.checks.facts import BlockLineIdle, BlockLineMissing
from flangelayout.checks.finding import Finding, Place, noted
from flangelayout.checks.rule import Rule
from flangelayout.flange import Flange
from flangelayout.flange.plate import USUAL_PLACES
from flangelayout.job.build.doubts import is_length, leaves
from flangelayout.job.schema.values import written_unit
from flangelayout.standards.tolerances.sizes import open_sizes
from flangelayout.units import Unit, to_mm

_OF_NO_SIZE = frozenset({"tolerances", "checks", "survey", "machine", "cut", "template", "mate", "sheet"})
"""Tables whose lengths no drawing shows as sizes of the plate."""
_WRITTEN = re.compile(r"\s*(\d*\.(\d+))\s*(in|inch|inches|\")?\s*")


def written_decimals(data: dict[str, object]) -> tuple[tuple[float, int], ...]:
    """The lengths in mm that a job writes as text in inches, such as ``"11.00"``, each with its most decimals."""
    found: dict[float, int] = {}
    for location, value in leaves(data, ()):
        told = _WRITTEN.fullmatch(value) if isinstance(value, str) and location[0] not in _OF_NO_SIZE else None
        if told and (told[3] or written_unit(data) is Unit.IN) and is_length(location):
            length = to_mm(float(told[1]), Unit.IN)
            found[length] = max(len(told[2]), found.get(length, 0))
    return tuple(found.items())


def block_doubts(flange: Flange, unit: Unit) -> Iterator[Finding]:
    """That all sizes are held to finer lines of the block than its coarser ones, and sizes that no line is for."""
    stated, place = flange.tolerances, Place("tolerances.block")
    lines = stated.block_decimals
    if unit is Unit.MM or not lines:
        return
    sizes = {each.length: stated.inch_decimals(each.length) for each in open_sizes(flange)}
    coarse = {places for places in lines if places < USUAL_PLACES}
    if coarse and coarse.isdisjoint(sizes.values()):
        yield noted(Rule.BLOCK_LINE, place, BlockLineIdle(max(coarse)))
    if bare := tuple(sorted({(length, places) for length, places in sizes.items() if places not in lines})):
        yield noted(Rule.BLOCK_LINE, place, BlockLineMissing(bare))
