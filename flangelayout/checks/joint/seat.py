"""What bears on a plate round its holes: nuts, heads, washers, spotfaces."""

from flangelayout.checks.facts import Seat, SeatPart
from flangelayout.checks.limits import GEOMETRY, Published, Source
from flangelayout.flange import BoltCircle, Counterbored, Countersunk, Dowel, Jack, Spotfaced, Tapped
from flangelayout.standards.bolt_room import nut_corners, washer_outside


def takes_nuts(circle: BoltCircle) -> bool:
    """Whether a nut or a head bears on the face of the plate round each hole; a sunk head bears below it."""
    return not isinstance(circle.kind, Tapped | Jack | Dowel | Counterbored | Countersunk)


def seat_of(circle: BoltCircle, washers: bool = False) -> tuple[Seat, Source] | None:
    """What bears round each hole of a circle: spotface, washer or the nut across corners; and who says so.

    Returns:
        ``None`` where nothing bears on the face (tapped holes, dowels, sunk heads) or no table has the bolt.
    """
    bolt = circle.bolt.strip()
    if not takes_nuts(circle):
        return None
    if isinstance(circle.kind, Spotfaced):
        return Seat(SeatPart.SPOTFACE, circle.kind.seat_diameter, bolt), GEOMETRY.source
    return seat_under(bolt, washers)


def seat_under(bolt: str, washers: bool) -> tuple[Seat, Source] | None:
    """What a nut or a head takes up where it bears on flat metal: its washer, or itself across corners."""
    washer = washer_outside(bolt) if washers else None
    room = washer or nut_corners(bolt)
    if room is None:
        return None
    return Seat(SeatPart.WASHER if washer else SeatPart.NUT, room.value, bolt), Published(room.source)
