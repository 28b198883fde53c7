"""Leaders that say what each pattern of holes is, placed so that they cross no text."""

import math
from collections.abc import Iterable, Iterator, Sequence
from functools import cache
from itertools import chain, product, tee

from msgspec import Struct

from flangelayout.checks.dimensioned import alike_single_holes, has_legend
from flangelayout.drawing.explode import items_box
from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item
from flangelayout.drawing.references import GroupRef
from flangelayout.flange import Flange, Hole
from flangelayout.geometry.shapes import Box
from flangelayout.views.page.text_clearance import Ink
from flangelayout.views.sheet.leaders.ground import LONGEST, LeaderGround, LeaderWay
from flangelayout.views.sheet.leaders.stack import Stack
from flangelayout.views.sheet.look import Look
from flangelayout.views.sheet.sizes.placing import leaders_to
from flangelayout.views.sheet.sizes.wishes import SaidSize
from flangelayout.views.words.call_outs import is_dimensioned, named_call_out
from flangelayout.views.words.lengths import Lengths
from flangelayout.views.words.plate import single_hole_call_out

_LEADER_ANGLES = (68.0, 34.0, 18.0, 110.0)
_ONE_LEADER_ANGLE = (60.0,)
_SPARE = 15.0
"""Printed mm that a view may be wider so that a leader runs over no size."""
_FAULTS = (math.inf, math.inf)


class CallOuts(Struct, frozen=True):
    """Leaders and what they leave out.

    Attributes:
        items: The leaders.
        in_list: Patterns that found no place for one: they are told in a list.
        crossings: How many leaders run over measures or the section's plane, and how many over any line of a size.
    """

    items: tuple[Item, ...]
    in_list: tuple[int, ...]
    crossings: tuple[int, int] = (0, 0)


def call_out_items(
    look: Look, ink: Ink, holes: tuple[Hole, ...], others: Sequence[Item], reach: Box, section_left: float
) -> tuple[CallOuts, ...]:
    """Leaders above the plate, the last pattern lowest; none crosses another one or the section.

    Those of which fewest run over sizes; after them those that take the least room, where they are others.

    Args:
        look: What is drawn.
        ink: What stands there already.
        holes: Of the plate.
        others: The items that stand there; texts stay within their reach to the right where they can.
        reach: Their box, in mm.
        section_left: Where the section begins, in mm; infinite where there is none.
    """
    groups = tuple(range(len(look.flange.groups())))
    if has_legend(look.flange):
        return (CallOuts((), groups),)
    ways = _orders(groups)

    @cache
    def beside(wish: SaidSize) -> Iterator[Item]:
        """Found once for all stacks, as far as one of them asks: a copy begins at the first."""
        return tee(_beside(look, wish, reach, section_left), 1)[0]

    @cache
    def around(alike: tuple[Hole, ...], text: tuple[str, ...]) -> Iterator[LeaderWay]:
        """As :func:`beside`, asked for only where a leader runs over things."""
        return tee(ground.ways(ink, alike, text), 1)[0]

    ground, tried = LeaderGround(look, holes, others, reach), list[Stack]()
    for spare, (order, angles) in chain(product((None,), ways), product((0.0, _SPARE), ways[::-1])):
        if spare is not None and any(each.keeps_off_sizes() for each in tried):
            break
        stack = Stack(look, holes, others, reach, ground, beside, around, spare)
        least = min((each.faults() for each in tried), default=_FAULTS)
        if stack.fill(ink.copy(), order, angles, least if spare is not None else (least[0], *_FAULTS[1:])):
            tried.append(stack)
            if stack.is_good() and (spare is None or len(groups) > 1):
                break
    small = min((stack for stack in tried if stack.spare is None), key=Stack.cost)
    slim = min((stack for stack in tried if not stack.spare), key=Stack.wide_cost)
    stacks = dict.fromkeys((min(tried, key=Stack.wide_cost), slim, small))
    return tuple(CallOuts(tuple(each.items), tuple(sorted(each.left_out)), each.crossings) for each in stacks)


def _orders(groups: tuple[int, ...]) -> tuple[tuple[tuple[int, ...], tuple[float, ...]], ...]:
    """Orders of patterns from the lowest leader, each with the angles of the holes that are led to."""
    usual = _LEADER_ANGLES if len(groups) > 1 else _ONE_LEADER_ANGLE
    lower_right_first = tuple(sorted(usual[: len(groups)]))
    return ((groups[::-1], usual), (groups, usual), (groups, lower_right_first))[: 3 if len(groups) > 1 else 1]


def legend_lines(flange: Flange, lengths: Lengths, told: Iterable[int]) -> tuple[str, ...]:
    """What the patterns are that no leader leads to; single holes too where no hole is led to."""
    groups = (named_call_out(flange, group, lengths, is_dimensioned=is_dimensioned(flange, group)) for group in told)
    alike = alike_single_holes(flange) if has_legend(flange) else ()
    return (*groups, *(", ".join(single_hole_call_out(each, flange, lengths, in_table=True)) for each in alike))


def _beside(look: Look, wish: SaidSize, reach: Box, section_left: float) -> Iterator[Item]:
    """Leaders to holes as one that keep off the section; those of a pattern are short and make no view wider."""
    for leader in leaders_to(look, wish):
        item = Item(Layer.DIMENSION, leader, wish.source)
        is_pattern = isinstance(wish.source, GroupRef)
        if is_pattern and leader.tip.distance_to(leader.elbow) > look.real(LONGEST):
            continue
        box = items_box([item], look.scale)
        if box.left < look.real(look.left) or (is_pattern and (box.left < reach.left or box.right > reach.right)):
            continue
        is_level = box.bottom < look.box.top and box.top > look.box.bottom
        if not (is_level and box.right > section_left):
            yield item
