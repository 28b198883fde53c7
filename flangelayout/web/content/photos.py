"""Photos on the page: what is asked, what was found in them, and the job with it."""

import base64
import re
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from msgspec import Struct

from flangelayout.errors import InputError, Problem, UnitError
from flangelayout.problems.survey import PhotoProblem
from flangelayout.survey.kinds import Kind
from flangelayout.survey.readings import Reading
from flangelayout.units import from_mm, parse_length
from flangelayout.value import replace
from flangelayout.web.form.address import write_address
from flangelayout.web.form.address_tables import Table
from flangelayout.web.form.state import Draft, Stage, State

if TYPE_CHECKING:
    from flangelayout.vision.asked import AskedHoles, PressedHole
    from flangelayout.vision.face import Photo
    from flangelayout.vision.finds import Finds, Overlay

SCALE = "photos"
"""The scale that readings off photos share, as the job file names it."""
MOST_PHOTOS = 6


class PhotosLooked(Struct, frozen=True):
    """What was found.

    Attributes:
        lines: In words.
        pictures: Every photo with what was found drawn over it, as addresses of their content.
        numbers: Every hole asked for, and whether it is struck out.
        address: The page with the holes as readings.
    """

    lines: tuple[str, ...]
    pictures: tuple[str, ...]
    numbers: tuple[tuple[int, bool], ...]
    address: str


class PhotosUnsettledError(InputError):
    """Holes that cannot be believed, with the photos as they were looked at."""

    def __init__(self, refused: InputError, pictures: tuple[str, ...]) -> None:
        """Keep the problems and the pictures."""
        super().__init__(*refused.problems)
        self.pictures = pictures


def _shown(photos: "Sequence[Photo]", overlays: "Sequence[Overlay]") -> tuple[str, ...]:
    """Every photo with what was found drawn over it, as an address of its content."""
    from flangelayout.packet.photo import looked_at

    pictures = (looked_at(photo.gray, overlay) for photo, overlay in zip(photos, overlays, strict=True))
    return tuple("data:image/jpeg;base64," + base64.b64encode(picture).decode() for picture in pictures)


def looked_into(files: Sequence[tuple[str, bytes]], written: Mapping[str, str], state: State) -> PhotosLooked:
    """What photos show.

    Args:
        files: Name and content of each.
        written: The form's texts: ``holes``, ``diameter``, ``bar_x``, ``bar_y``, ``circle``, ``without`` (numbers and
            spaces) and ``added`` (holes as they were pressed, one a line).
        state: The page the holes are to go into.

    Raises:
        InputError: With what is wrong with a text or the photos, and what to do about it.
    """
    from flangelayout.packet.photo import (
        SCALE_MEASURED,
        SCALE_UNKNOWN,
        check_installed,
        photo_finds,
        photos_of,
    )
    from flangelayout.views.photo.words import finds_lines
    from flangelayout.vision.finds import HolesUnsettledError

    check_installed()
    asked = _asked(written, state)
    if len(files) > MOST_PHOTOS:
        raise InputError.of(PhotoProblem.TOO_MANY_PHOTOS, "photos", count=len(files), most=MOST_PHOTOS)
    photos = photos_of(files)
    asked = replace(asked, added=_pressed(written.get("added", ""), photos))
    try:
        finds = photo_finds(photos, asked)
    except HolesUnsettledError as refused:
        raise PhotosUnsettledError(refused, _shown(photos, refused.overlays)) from None
    within = SCALE_MEASURED if asked.stretch_known else SCALE_UNKNOWN
    return PhotosLooked(
        finds_lines(finds, state.show),
        _shown(photos, finds.overlays),
        tuple((number, number in asked.without) for number in range(1, asked.holes + 1)),
        write_address(_with_readings(state, _readings(finds, within), asked.diameter, asked.holes, within)),
    )


def _asked(written: Mapping[str, str], state: State) -> "AskedHoles":
    """What is looked for, but for the holes that were pressed."""
    from flangelayout.vision.asked import AskedHoles

    holes, diameter = _count(written.get("holes", "")), _length(written.get("diameter", ""), "hole diameter", state)
    stretch = _stretch(written.get("bar_x", ""), written.get("bar_y", ""), state)
    without = frozenset(int(text) for text in written.get("without", "").split() if text.isdecimal())
    circle = written.get("circle", "")
    about = _length(circle, "circle", state) if circle.strip() else None
    return AskedHoles(holes, diameter, without, about, stretch or (1.0, 1.0), stretch is not None)


def added_holes(lines: Sequence[str]) -> tuple[tuple[int, float, float], ...]:
    """Holes as they were pressed: the photo, from 0, and the shares of it across and down; no other line counts."""
    found = []
    for line in lines:
        match = re.fullmatch(r"(\d) ([01]\.\d{1,6}) ([01]\.\d{1,6})", line)
        if match is not None:
            found.append((int(match[1]), float(match[2]), float(match[3])))
    return tuple(found)


def _pressed(lines: str, photos: "Sequence[Photo]") -> "tuple[PressedHole, ...]":
    from flangelayout.vision.asked import PressedHole

    return tuple(
        PressedHole(photo, x * photos[photo].gray.shape[1] - 0.5, y * photos[photo].gray.shape[0] - 0.5)
        for photo, x, y in added_holes(lines.splitlines())
        if photo < len(photos)
    )


def _readings(finds: "Finds", within: float) -> tuple[Reading, ...]:
    from flangelayout.packet.photo import readings_found

    return readings_found(finds, SCALE, within)


def _with_readings(state: State, readings: Sequence[Reading], diameter: float, holes: int, within: float) -> State:
    """The page with the holes in place of those of other photos; what a caliper read stays."""
    kept = [row for row in state.readings() if row.get("scale") != SCALE]
    if not any(row.get("kind") == Kind.HOLE_DIAMETER.value for row in kept):
        kept.append({"kind": Kind.HOLE_DIAMETER.value, "value": _rounded(diameter, state)})
    rows = [*kept, *(_row(reading, state) for reading in readings)]
    asked = state.with_table("survey", hole_count=holes, scale_within=round(100 * within, 6), reading=rows)
    opposite = Draft(Kind.FAR_EDGES.value, "1", str(holes // 2 + 1))
    return State(data=asked.data, step=Stage.MEASURE, show=state.show, draft=opposite)


def _row(reading: Reading, state: State) -> Table:
    return {
        "kind": reading.kind.value,
        "value": _rounded(reading.value, state),
        "from": reading.from_hole,
        "within": _rounded(reading.expanded_uncertainty, state),
        "scale": SCALE,
        "shared": [_rounded(each, state) for each in reading.shared],
    }


def _rounded(length: float, state: State) -> float:
    return round(from_mm(length, state.unit), 5)


def _count(text: str) -> int:
    from flangelayout.vision.asked import FEWEST_HOLES

    count = int(text) if text.strip().isdecimal() and len(text.strip()) < 4 else 0
    if count < FEWEST_HOLES:
        raise InputError.of(PhotoProblem.COUNT_TOO_SMALL, "holes", count=count, fewest=FEWEST_HOLES)
    return count


def _length(text: str, where: str, state: State) -> float:
    if not text.strip():
        raise InputError.of(PhotoProblem.DIAMETER_MISSING, where)
    try:
        return parse_length(text, state.show)
    except UnitError as wrong:
        raise InputError(*wrong.placed(where)) from None


def _stretch(x: str, y: str, state: State) -> tuple[float, float] | None:
    """Printed mm for a mm of the cards from both bars; None where they were not measured."""
    from flangelayout.drawing.printer import bar_factor

    bars = {"bar X": x, "bar Y": y}
    if not any(text.strip() for text in bars.values()):
        return None
    missing = [name for name, text in bars.items() if not text.strip()]
    if missing:
        raise InputError.of(PhotoProblem.BARS_MISSING, missing[0])
    problems: list[Problem] = []
    across, along = (bar_factor(_length(text, name, state), problems, name) for name, text in bars.items())
    if problems:
        raise InputError(*problems)
    return across, along
