"""What a value of the model is: frozen, compared by its fields, changed by making another."""

import copy
import pickle
import re
from collections.abc import Iterator
from enum import Enum
from types import UnionType
from typing import get_args, get_origin, get_type_hints

import pytest
from msgspec import Struct

from flangelayout import BoltCircle, RoundOutline
from flangelayout.drawing.model import Item
from flangelayout.flange import Hole
from flangelayout.geometry.shapes import Circle, Point
from flangelayout.value import replace
from test_package import PACKAGE


@pytest.mark.parametrize("value", [Point(1.0, 2.0), Circle(Point(0.0, 0.0), 3.0), RoundOutline(285.0)], ids=repr)
def test_a_value_is_frozen_and_another_is_made_of_it(value: object) -> None:
    name = type(value).__match_args__[0]  # type: ignore[attr-defined]
    with pytest.raises(AttributeError):
        setattr(value, name, getattr(value, name))
    assert copy.copy(value) == value == pickle.loads(pickle.dumps(value))
    assert hash(copy.copy(value)) == hash(value)


def test_what_works_a_part_of_itself_out_does_so_again() -> None:
    """240 in place of 180: the holes stand on the new circle; ``replace`` knows both kinds of values."""
    moved = replace(BoltCircle(180.0, 8, 18.0), diameter=240.0)
    assert {round(center.distance_to(Point(0.0, 0.0)), 9) for center in moved.hole_centers()} == {120.0}
    assert replace(Point(1.0, 2.0), x=5.0) == Point(5.0, 2.0)
    with pytest.raises(TypeError):
        replace(Point(1.0, 2.0), z=3.0)  # type: ignore[call-arg]


def test_every_value_is_declared_frozen() -> None:
    """But for a few that grow while something is placed, each used within its own module."""
    kinds = re.compile(r"^class (\w+)\(Struct\b(.*)\):", re.MULTILINE)
    declared = [kind for path in PACKAGE.rglob("*.py") for kind in kinds.findall(path.read_text())]
    assert len(declared) > 500
    growing = {name for name, words in declared if "frozen=True" not in words}
    assert growing == {"_Strokes", "_Hand", "_Room", "Collisions"}


def test_what_the_search_for_cycles_passes_over_can_be_in_none() -> None:
    """It holds nothing that can be changed after it is made: numbers, words, signs and what is passed over itself."""
    passed_over = {kind for kind in Struct.__subclasses__() if not kind.__struct_config__.gc and _is_ours(kind)}
    assert {Point, Circle, Item, Hole} <= passed_over
    for kind in passed_over:
        held = {part for hint in get_type_hints(kind).values() for part in _parts(hint)}
        assert {each for each in held - passed_over if not issubclass(each, _CANNOT_CHANGE)} == set(), kind


_CANNOT_CHANGE = (bool, int, float, str, Enum, type(None))


def _is_ours(kind: type) -> bool:
    return kind.__module__.startswith("flangelayout.")


def _parts(hint: object) -> Iterator[type]:
    """The classes that a hint is made of, but for tuples and unions."""
    whole = get_origin(hint) or hint
    if isinstance(whole, type) and whole not in (tuple, UnionType):
        yield whole
    for part in get_args(hint):
        yield from _parts(part)
