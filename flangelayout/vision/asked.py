"""What is asked for, and what of it a picture has to show: one whole ring, and a round rim for every hole."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from flangelayout.errors import InputError
from flangelayout.facts import Length
from flangelayout.problems.survey import PhotoProblem
from flangelayout.value import replace
from flangelayout.vision.holes import Search, other_counts
from flangelayout.vision.rims import Rim
from flangelayout.vision.rings import Ring
from flangelayout.vision.sample import Array
from flangelayout.vision.start import NO_STRETCH, Stretch

FEWEST_HOLES = 3
_ABOUT = 0.2
"""Share by which a ring may be larger or smaller than was said of it (judgement: said by eye)."""
_UNROUND = 0.08
"""Share by which a rim may be wider or narrower than the others."""


class PressedHole(Struct, frozen=True):
    """Where a person pressed on a picture to say that a hole is there: which picture, from 0, and its pixel."""

    picture: int
    x: float
    y: float


class AskedHoles(Struct, frozen=True):
    """What is looked for.

    Attributes:
        holes: How many there are, with those that are not to be seen.
        diameter: Of a hole, by caliper, mm.
        without: Numbers of holes that are struck out: filled, or with something in them.
        about: About what diameter the ring has, mm; None where there is only one.
        stretch: Printed mm for a mm of the cards, along x and along y.
        stretch_known: Whether that was measured.
        added: Holes that a person showed; the rim of each is looked for like any other.
    """

    holes: int
    diameter: float
    without: frozenset[int] = frozenset()
    about: float | None = None
    stretch: Stretch = NO_STRETCH
    stretch_known: bool = True
    added: tuple[PressedHole, ...] = ()


def check_asked(asked: AskedHoles) -> None:
    """Nothing, if what is asked can be looked for.

    Raises:
        InputError: If it cannot.
    """
    if asked.holes < FEWEST_HOLES:
        raise InputError.of(PhotoProblem.COUNT_TOO_SMALL, "holes", count=asked.holes, fewest=FEWEST_HOLES)
    if not 0 < asked.diameter < 1000:
        raise InputError.of(PhotoProblem.DIAMETER_NOT_POSITIVE, "hole diameter", value=asked.diameter)
    every = set(range(1, asked.holes + 1))
    if asked.without - every:
        unknown = tuple(sorted(asked.without - every))
        raise InputError.of(PhotoProblem.NO_SUCH_HOLE, "without", numbers=unknown, count=asked.holes)
    if len(every - asked.without) < FEWEST_HOLES:
        raise InputError.of(PhotoProblem.ALL_STRUCK_OUT, "without", fewest=FEWEST_HOLES)


def of_size(seen: Search, asked: AskedHoles) -> Search:
    """Of two rings the one of the size that was said."""
    ring, rival = seen.ring, seen.rival
    if ring is None or rival is None or asked.about is None:
        return seen
    nearer = min((ring, rival), key=lambda each: abs(each.diameter - (asked.about or 0.0)))
    return replace(seen, ring=nearer, rival=None, extra=seen.extra if nearer is ring else seen.extra[:0])


def settled_ring(seen: Search, asked: AskedHoles) -> Ring:
    """The one ring that has every hole and no other.

    Raises:
        InputError: If there is none, holes are missing or too many, two rings are as good, it is of another size than
            was said, or a person showed a hole elsewhere.
    """
    ring = seen.ring
    if ring is None:
        raise InputError.of(PhotoProblem.NO_RING, "holes", count=asked.holes, hole=Length(asked.diameter))
    missing = len(seen.missing)
    if missing > len(asked.without):
        found, others = asked.holes - missing, other_counts(seen, asked.diameter, asked.holes)
        if others:
            kind = PhotoProblem.HOLES_MISSING_OTHER_COUNT
            raise InputError.of(kind, "holes", count=asked.holes, found=found, others=others)
        raise InputError.of(PhotoProblem.HOLES_MISSING, "holes", count=asked.holes, found=found)
    if len(seen.extra):
        raise InputError.of(PhotoProblem.HOLES_TOO_MANY, "holes", count=asked.holes, more=len(seen.extra))
    if seen.rival is not None:
        sizes = (Length(ring.diameter), Length(seen.rival.diameter))
        raise InputError.of(PhotoProblem.TWO_RINGS, "holes", count=asked.holes, one=sizes[0], other=sizes[1])
    if asked.about is not None and abs(ring.diameter - asked.about) > _ABOUT * asked.about:
        sizes = (Length(ring.diameter), Length(asked.about))
        raise InputError.of(
            PhotoProblem.RING_OF_ANOTHER_SIZE, "circle", count=asked.holes, one=sizes[0], other=sizes[1]
        )
    for at in seen.told:
        if float(np.hypot(*(ring.places - at).T).min()) > 0.5 * asked.diameter:
            raise InputError.of(PhotoProblem.ADDED_OFF_THE_RING, "holes", count=asked.holes)
    return ring


def check_rims(rims: Sequence[Sequence[Rim | None]], numbers: Sequence[int], asked: AskedHoles) -> None:
    """Nothing, if every hole has a rim in two pictures, or in the only one.

    Raises:
        InputError: With the holes that have not.
    """
    least = min(2, len(rims))
    lost = [number for at, number in enumerate(numbers) if sum(row[at] is not None for row in rims) < least]
    if len(lost) == len(numbers):
        raise InputError.of(PhotoProblem.NO_ROUND_RIMS, "holes", count=len(lost), hole=Length(asked.diameter))
    if lost:
        raise InputError.of(PhotoProblem.HOLE_NOT_ROUND, "holes", numbers=tuple(lost), hole=Length(asked.diameter))


def check_sizes(rims: Sequence[Sequence[Rim | None]], numbers: Sequence[int], asked: AskedHoles) -> None:
    """Nothing, if all rims are of one size.

    Raises:
        InputError: With the holes that are not.
    """
    radii = mean_radii(rims)
    unlike = np.flatnonzero(np.abs(radii / np.median(radii) - 1) > _UNROUND)
    if len(unlike):
        unround = tuple(numbers[int(at)] for at in unlike)
        raise InputError.of(PhotoProblem.HOLE_NOT_ROUND, "holes", numbers=unround, hole=Length(asked.diameter))


def mean_radii(rims: Sequence[Sequence[Rim | None]]) -> Array:
    """(h,) radius of every hole in mm, the mean of the pictures that show its rim."""
    return np.array([np.mean([rim.radius for rim in hole if rim is not None]) for hole in zip(*rims, strict=True)])
