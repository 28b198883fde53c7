"""The depth that is advised for a blind thread, by hand from the drill, its point and the taper of the tap."""

import math

import pytest

from flangelayout.checks.plate.threads import blind_depth
from rows import every_row


@every_row(
    ("bolt", "drill", "pitch", "thickness", "depth"),
    [
        ("M16", 14.0, 2.0, 45, 24),  # 1.5 times 16
        ("M16", 14.0, 2.0, 34, 22),  # 34 - 4.21 - 6 - 1 = 22.79
        ("M16", 14.0, 2.0, 27, None),  # 15.79: less than a diameter
        ("M20", 17.5, 2.5, 60, 30),
        ("M12", 10.2, 1.75, 26, 16),
        ("M99", 0.0, 0.0, 60, None),
    ],
)
def test_a_blind_thread_is_one_and_a_half_diameters_deep_or_as_deep_as_the_plate_lets_it(
    bolt: str, drill: float, pitch: float, thickness: float, depth: float | None
) -> None:
    """Tap drills of ISO 2306 under a point of 118 degrees; three pitches of taper, 1 mm below: common practice."""
    assert blind_depth(bolt, thickness, 1.0) == depth
    room = thickness - drill / 2 / math.tan(math.radians(59)) - 3 * pitch - 1.0
    assert depth is None or depth <= room
    sixteenths = blind_depth(bolt, thickness, 25.4 / 16)
    assert sixteenths is None or sixteenths / 25.4 * 16 == pytest.approx(round(sixteenths / 25.4 * 16))
