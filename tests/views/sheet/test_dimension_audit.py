"""From the dimensions of its sheet alone every starter can be made: outline, openings, holes within 0.01 mm."""

from collections.abc import Iterable

import pytest

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item
from flangelayout.drawing.references import Feature, FeatureRef, Furniture
from flangelayout.files.starters import starters
from flangelayout.job import Job
from flangelayout.job.load import job_from_text
from views.random_outlines import random_outline
from views.sheet_audit import audit, dimension_items, unprinted

_FOR_REFERENCE = (Feature.THICKNESS, Feature.FIRST_HOLE_ANGLE)


def starter(kind: str) -> Job:
    return job_from_text(starters()[kind].content.decode(), name=kind)


@pytest.mark.slow
@pytest.mark.parametrize("kind", sorted(starters()))
def test_the_dimensions_of_a_starter_make_the_plate_that_is_cut(kind: str) -> None:
    assert audit(starter(kind)) == []
    assert unprinted(starter(kind)) == []


def _is_needed(item: Item) -> bool:
    """Whether the plate cannot be made without a dimension: not one in brackets, not its thickness."""
    told = getattr(item.what, "text", "")
    bracketed = isinstance(told, str) and told.startswith("(")
    feature = item.source.feature if isinstance(item.source, FeatureRef) else None
    is_furniture = item.source is None or isinstance(item.source, Furniture)
    return item.layer is Layer.DIMENSION and not (bracketed or is_furniture or feature in _FOR_REFERENCE)


@pytest.mark.parametrize(
    "kind",
    [
        "lozenge-flange",
        *(
            pytest.param(k, marks=pytest.mark.slow)
            for k in ("shaped-plate", "lugged-ring", "segment-ring", "slotted-ring", "paddle-blind")
        ),
    ],
)
def test_a_dimension_taken_away_or_given_twice_is_seen(kind: str) -> None:
    job = starter(kind)
    items, notes = dimension_items(job)
    assert audit(job, (items, notes)) == []
    needed = [item for item in items if _is_needed(item)]
    assert len(needed) >= 4
    for item in needed:
        rest = tuple(other for other in items if other is not item)
        assert audit(job, (rest, notes)), f"{item.source} is not missed"
        assert audit(job, ((*items, item), notes)), f"{item.source} may stand twice"


def _faults(seeds: Iterable[int]) -> dict[int, list[str]]:
    jobs = ((seed, random_outline(seed)) for seed in seeds)
    return {seed: wrong for seed, job in jobs if (wrong := [*audit(job), *unprinted(job)])}


@pytest.mark.slow
def test_the_dimensions_of_random_outlines_make_the_plate() -> None:
    assert not _faults(range(20))


_LOST = (321, 415, 604, 766, 801)
"""Outlines that once lacked a width past another row's text, a diameter along the section's plane, a hole's place."""


@pytest.mark.slow
def test_no_dimension_is_lost_for_want_of_room() -> None:
    assert not _faults(_LOST)


@pytest.mark.property_deep
@pytest.mark.parametrize("block", range(10))
def test_the_dimensions_of_a_thousand_random_outlines_make_the_plate(block: int, from_seed: int) -> None:
    first = from_seed + 100 * block + 100
    assert not _faults(range(first, first + 100))
