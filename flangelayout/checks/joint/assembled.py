"""A plate as it is bolted up: the mates that are known, on which face each lies, and where heads and nuts bear."""

from collections.abc import Iterator

from msgspec import Struct

from flangelayout.checks.facts import Seat
from flangelayout.checks.joint.seat import seat_of, seat_under
from flangelayout.checks.limits import CheckLimits, NutSide, Source
from flangelayout.errors import InputError
from flangelayout.flange import BoltCircle, Counterbored, Countersunk, Dowel, Flange, Jack, Spotfaced, Tapped
from flangelayout.flange.claims import named_rows
from flangelayout.flange.joints import Mate, mates_by_group
from flangelayout.flange.turning import PlateFace
from flangelayout.standards import Pattern, PublishedTable, find, row_called
from flangelayout.standards.joints.row_mates import mate_of_row

_SIDES = {
    NutSide.BACK: frozenset({PlateFace.BACK}),
    NutSide.FACE: frozenset({PlateFace.FACE}),
    NutSide.BOTH: frozenset(PlateFace),
}


class Assembly(Struct, frozen=True):
    """A plate and what lies on its faces.

    Attributes:
        flange: The plate.
        mates: Of each bolt circle by its index, those that the job tells and those that a row implies.
        told: The circles whose mates the job tells in tables of their own.
        limits: What is checked, and how it is bolted up.
    """

    flange: Flange
    mates: dict[int, Mate]
    told: frozenset[int]
    limits: CheckLimits

    def seat_faces(self, group: int) -> frozenset[PlateFace]:
        """The faces that heads or nuts of a circle bear on: across from its mate, or where its recesses are made."""
        circle, mate = self.flange.bolt_circles[group], self.mates.get(group)
        if isinstance(circle.kind, Counterbored | Countersunk | Spotfaced):
            return frozenset({circle.drilling.worked_from})
        if mate is not None and group in self.told:
            return frozenset({mate.face.other})
        return _SIDES[self.limits.nuts_on]

    def may_bear_on(self, group: int, mate: Mate) -> bool:
        """Whether heads or nuts of a circle may stand on the face that a mate lies on.

        Where no table tells which face it is, mates are taken to lie on opposite faces.
        """
        if group not in self.told and mate.group not in self.told:
            return True
        return mate.face in self.seat_faces(group)

    def seat(self, group: int) -> tuple[Seat, Source] | None:
        """What bears round each hole of a circle; washers count where the job has them checked or bolted up."""
        return seat_of(self.flange.bolt_circles[group], self._washers(group))

    def seat_on_mate(self, group: int) -> tuple[Seat, Source] | None:
        """What bears on the other side of a circle's mate: a head for tapped holes of the plate, else head or nut."""
        circle = self.flange.bolt_circles[group]
        bolt = circle.kind.thread if isinstance(circle.kind, Tapped) else circle.bolt.strip()
        return None if isinstance(circle.kind, Jack | Dowel) else seat_under(bolt, self._washers(group))

    def is_own_row(self, group: int) -> bool:
        """Whether no mate of a circle is named, and it is only taken to be drilled by the circle's own row."""
        return group not in self.told and not self.flange.bolt_circles[group].drilling.mates_with.strip()

    def _washers(self, group: int) -> bool:
        return self.limits.washers or (group in self.told and self.flange.bolt_circles[group].joint.washers > 0)


def assemble(flange: Flange, limits: CheckLimits) -> Assembly:
    """The plate with every mate that is known."""
    told = mates_by_group(flange.mates)
    implied = {mate.group: mate for mate in _implied(flange, told, limits.own)}
    return Assembly(flange, dict(sorted((implied | told).items())), frozenset(told), limits)


def _implied(flange: Flange, told: dict[int, Mate], own: tuple[PublishedTable, ...]) -> Iterator[Mate]:
    """The mates that ``mates_with`` designates, or else the row that a circle names."""
    for group, circle in enumerate(flange.bolt_circles):
        row = _designated(circle.drilling.mates_with, own) or _named(circle, own)
        if group not in told and row is not None:
            face = PlateFace.FACE if group == 0 else PlateFace.BACK
            if len(told) == 1:
                face = next(iter(told.values())).face.other
            yield mate_of_row(row, group, face, flange.group_key(group), is_face_said=False)


def _named(circle: BoltCircle, own: tuple[PublishedTable, ...]) -> Pattern | None:
    rows = named_rows(circle)
    return row_called(rows[0].designation, own) if rows else None


def _designated(text: str, own: tuple[PublishedTable, ...]) -> Pattern | None:
    try:
        return find(text, own=own) if text.strip() else None
    except InputError:  # free text, or a name of several rows
        return None
