"""What is drawn over a picture, of holes that were found and of holes that cannot be believed."""

from collections.abc import Callable, Sequence

import numpy as np

from flangelayout.vision.cards import PhotoCard
from flangelayout.vision.finds import Overlay
from flangelayout.vision.holes import Search
from flangelayout.vision.rims import Rim
from flangelayout.vision.rings import Ring
from flangelayout.vision.sample import Array

Draw = Callable[[Array], Array]
"""Pixels of (n, 2) places of the plane that the rims lie in."""
Cards = tuple[tuple[PhotoCard, Array], ...]
_ANGLES = np.linspace(0, 2 * np.pi, 73)
_AROUND = np.column_stack([np.cos(_ANGLES), np.sin(_ANGLES)])


def found_overlay(
    numbers: Sequence[int], centers: Array, rims: Sequence[Rim | None], ring: Ring, draw: Draw, cards: Cards = ()
) -> Overlay:
    """Of holes that were found.

    Args:
        numbers: Of the holes.
        centers: (h, 2) of them.
        rims: Of each as this picture shows it.
        ring: That they are on.
        draw: From the plane to the picture.
        cards: Where they are cut, in pixels.
    """
    shown = [(number, rim) for number, rim in zip(numbers, rims, strict=True) if rim is not None]
    return Overlay(
        cards=cards,
        rims=tuple((number, draw(rim.center + rim.radius * _AROUND)) for number, rim in shown),
        centers=tuple(zip(numbers, draw(centers), strict=True)),
        ring=draw(ring.center + ring.diameter / 2 * _AROUND),
        extra=np.zeros((0, 2)),
    )


def seen_overlay(seen: Search, ring: Ring | None, hole_diameter: float, draw: Draw, cards: Cards = ()) -> Overlay:
    """Of holes that are not settled: every place of the ring numbered, a rim of the asked size where one may be.

    Args:
        seen: What the votes show.
        ring: Its ring, numbered; None where there is none.
        hole_diameter: The caliper's.
        draw: From the plane to the picture.
        cards: Where they are cut, in pixels.
    """
    if ring is None:
        return Overlay(cards, (), (), np.zeros((0, 2)), draw(seen.extra))
    places, there = ring.places, np.flatnonzero(ring.votes >= seen.least).tolist()
    return Overlay(
        cards=cards,
        rims=tuple((at + 1, draw(places[at] + hole_diameter / 2 * _AROUND)) for at in there),
        centers=tuple((at + 1, pixel) for at, pixel in enumerate(draw(places))),
        ring=draw(ring.center + ring.diameter / 2 * _AROUND),
        extra=draw(seen.extra),
    )
