"""What a value of the model is: frozen, compared by its fields, changed by making another."""

import copy
import pickle
import re

import pytest

from flangelayout import BoltCircle, RoundOutline
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
