"""The words at the seams of one page as they come to stand there, none over another where there is room."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from operator import itemgetter
from typing import TypeAlias

from flangelayout.drawing.layers import Layer
from flangelayout.drawing.model import Item, Label, Solid
from flangelayout.drawing.references import Furniture
from flangelayout.drawing.textwidth import label_box
from flangelayout.geometry.shapes import Box, Point
from flangelayout.value import replace
from flangelayout.views.template.content_map import InkMap, Strokes, inked_bins

_FROM_EDGE = 0.5
APART = 1.2
"""How far in mm words of seams keep from each other."""
LEAST_CLEAR = 0.3
"""How far in mm words keep from lines where the map of ink, which is rough, tells of no room."""
_MOST_LOOKED_AT = 60
"""Places that are looked at so closely, those with the least ink."""
PATCH = 0.4
"""How far in mm the paper is left free round words that stand on lines."""

Choice: TypeAlias = tuple[Label, Iterable[Point]]
"""A label and the places that it may have."""


class PageWords:
    """The words at the seams of one page as they come to stand there, none over another where there is room."""

    def __init__(self, window: Box, ink: InkMap | None, strokes: Callable[[], Strokes] | None) -> None:
        """None yet, on a page that shows ``window`` of a drawing with its ``ink`` and, if few, its ``strokes``."""
        self.shown, self.ink, self.strokes = window.grown(-_FROM_EDGE), ink, strokes
        self.taken: list[Box] = []
        self.said: list[Box] = []
        self.patches: list[Box] = []

    def free(self, choices: Iterable[Choice], near: Box, clear: float = 0.0, off: Sequence[Box] = ()) -> Label | None:
        """The first of some labels that has a place where it crosses nothing, there.

        Args:
            choices: What may be said, and where.
            near: Where all of these places are.
            clear: How far in mm round it ink counts.
            off: What it keeps off beside the words.
        """
        taken, crossing = self._taken(near, off), list[tuple[int, Point, Box, Label]]()
        for label, place, box in self._places(choices):
            if any(map(box.overlaps, taken)):
                continue
            ink = inked_bins(self.ink, box.grown(clear) if clear else box) if self.ink else 0
            if not ink:
                return self._stand(replace(label, at=place))
            crossing.append((ink, place, box, label))
        if self.strokes is None:
            return None
        crossing.sort(key=itemgetter(0))
        for _, place, box, label in crossing[:_MOST_LOOKED_AT]:
            if not self.strokes().run_through(box.grown(LEAST_CLEAR)):
                return self._stand(replace(label, at=place))
        return None

    def on_clear_paper(self, label: Label, places: Iterable[Point], near: Box, off: Sequence[Box]) -> Label | None:
        """A label where it crosses nothing, or else no word, there on paper left free for it."""
        taken, window, first = self._taken(near, off), self.shown.grown(_FROM_EDGE), None
        around = label_box(label).moved(label.at.scaled(-1.0))
        for at in places:
            box = around.moved(at)
            if all(map(window.contains, box.corners)) and not any(map(box.overlaps, taken)):
                if not (self.ink and inked_bins(self.ink, box)):
                    return self._stand(replace(label, at=at))
                first = first or at
        if first:
            self.patches.append(around.moved(first).grown(PATCH))
        return self._stand(replace(label, at=first)) if first else None

    def least(self, choices: Iterable[Choice], near: Box, off: Sequence[Box] = ()) -> Label:
        """Of some labels and places the one that crosses the fewest words, then the least ink."""
        taken, found = self._taken(near, off), []
        for rank, (label, place, box) in enumerate(self._places(choices)):
            ink = inked_bins(self.ink, box) if self.ink else 0
            found.append((sum(map(box.overlaps, taken)), ink, rank, replace(label, at=place)))
        return self._stand(min(found)[-1])

    def cleared(self) -> Iterator[Item]:
        """Paper left free under words: it hides what is drawn there."""
        return (Item(Layer.CLEAR, Solid(box.corners), Furniture("clear paper")) for box in self.patches)

    def _taken(self, near: Box, off: Sequence[Box]) -> list[Box]:
        return [box for box in (*self.taken, *off) if box.overlaps(near)]

    def _places(self, choices: Iterable[Choice]) -> Iterator[tuple[Label, Point, Box]]:
        """Every label with its places, moved to where the page shows it whole, and what it takes there."""
        for label, places in choices:
            around = label_box(label).moved(label.at.scaled(-1.0))
            for wish in places:
                yield label, *_shown_whole(wish, around.moved(wish), self.shown)

    def _stand(self, label: Label) -> Label:
        box = label_box(label)
        self.said.append(box)
        self.taken.append(box.grown(APART))
        return label


def _shown_whole(at: Point, box: Box, shown: Box) -> tuple[Point, Box]:
    """The place of a label and its box, moved as little as it takes for the page to show all of it."""
    if shown.left <= box.left and box.right <= shown.right and shown.bottom <= box.bottom and box.top <= shown.top:
        return at, box
    right = max(shown.left - box.left, 0.0) + min(shown.right - box.right, 0.0)
    step = Point(right, max(shown.bottom - box.bottom, 0.0) + min(shown.top - box.top, 0.0))
    return at + step, box.moved(step)
