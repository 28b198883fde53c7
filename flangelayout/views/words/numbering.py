"""Holes in words: rows of them, and which of a view bear no number, by the rule numbers stand by or one by one."""

from collections.abc import Collection, Iterator, Sequence
from itertools import groupby

from flangelayout.flange import BoltCircle, Flange, Hole, HoleGrid, HoleRings

_STEPS = (2, 4, 5, 10, 20, 50, 100)
_SHOW_THE_WAY = frozenset({2, 3})
"""Numbers that stand beside those of a rule to show which way a circle is counted."""
_MOST_NAMED, _MOST_TOLD = 8, 6


def numbering_notes(flange: Flange, shown: Collection[str]) -> Iterator[str]:
    """A line for each pattern that lacks numbers, and one for single holes.

    Args:
        flange: What is shown.
        shown: The labels of the holes that bear their number in the view.
    """
    holes: dict[int, list[Hole]] = {}
    for hole in flange.holes():
        holes.setdefault(max(hole.group, -1), []).append(hole)
    for group, own in holes.items():
        missing = [hole.label for hole in own if hole.label not in shown]
        if missing:
            numbered = {hole.number for hole in own if hole.label in shown}
            name = flange.group_name(group) if group >= 0 else "single holes"
            yield f"{name}: {_rule(flange, own, numbered, missing)}"


def holes_in_words(holes: Sequence[Hole]) -> str:
    """Holes in their order, group by group, those told together that are counted on: ``A12, A1 TO A5, X1``."""
    told = []
    for _, some in groupby(holes, key=lambda hole: hole.group):
        own = list(some)
        told.append(numbers_in_words([hole.number for hole in own], own[0].label.removesuffix(str(own[0].number))))
    return ", ".join(told)


def labels_in_words(labels: Sequence[str]) -> str:
    """Labels in their order, told as :func:`holes_in_words` tells holes."""
    letters = groupby(labels, key=lambda label: label.rstrip("0123456789"))
    return ", ".join(
        numbers_in_words([int(label.removeprefix(letter)) for label in some], letter) for letter, some in letters
    )


def numbers_in_words(numbers: Sequence[int], letter: str = "") -> str:
    """Numbers in their order, three and more that follow each other by their ends: ``12, 1 TO 5``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][-1] + 1 == number:
            runs[-1].append(number)
        else:
            runs.append([number])
    ends = (f"{run[0]} TO {letter}{run[-1]}" if len(run) > 2 else f", {letter}".join(map(str, run)) for run in runs)
    return ", ".join(letter + each for each in ends)


def _rule(flange: Flange, holes: Sequence[Hole], numbered: set[int], missing: Sequence[str]) -> str:
    """By which rule numbers of a pattern stand in the view."""
    pattern = flange.groups()[holes[0].group] if holes[0].group >= 0 else None
    if isinstance(pattern, BoltCircle):
        for step in _STEPS:
            by_rule = {hole.number for hole in holes if (hole.number - 1) % step == 0}
            if len(by_rule) > 1 and by_rule <= numbered <= by_rule | _SHOW_THE_WAY:
                return f"every {step}{'nd' if step == 2 else 'th'} hole is numbered in the view, from hole 1 on"
    if isinstance(pattern, HoleGrid) and numbered == set(pattern.ends()):
        return "the ends of its rows are numbered in the view"
    if isinstance(pattern, HoleRings) and numbered == set(pattern.ends()):
        return "the first hole of every ring is numbered in the view"
    told = _counted(holes, numbered, missing)
    return f"{told}; its rows are counted from the upper left" if isinstance(pattern, HoleGrid) else told


def _counted(holes: Sequence[Hole], numbered: set[int], missing: Sequence[str]) -> str:
    """The holes that bear a number, or those that bear none, or how many do."""
    if len(missing) <= _MOST_NAMED:
        several = len(missing) > 1
        return f"the number{'s' if several else ''} {', '.join(missing)} {'are' if several else 'is'} not in the view"
    if not numbered:
        return "no hole is numbered in the view"
    if len(numbered) <= _MOST_TOLD:
        told = ", ".join(hole.label for hole in holes if hole.number in numbered)
        return f"only {told} {'is' if len(numbered) == 1 else 'are'} numbered in the view"
    return f"{len(numbered)} of {len(holes)} holes are numbered in the view"
