"""Holes put where the sizes and call-outs of a sheet say that they are, by arithmetic alone."""

import math
import re
from collections.abc import Iterator

from flangelayout.drawing.references import Feature, HoleRef
from flangelayout.flange import (
    Flange,
)
from views.sheet_sizes import ENDS, NUMBER, TIMES, AuditError, Dimensions, circle_of, place_at, placed


def rebuilt_holes(sizes: Dimensions, flange: Flange) -> Iterator[tuple[str, tuple[float, float, float]]]:
    """Every hole by its label: x, y and what is drilled, by the call-outs alone."""
    for group in range(len(flange.groups())):
        letter = flange.group_letter(group)
        text = sizes.call_out(group, letter)
        size = _hole_size(sizes, text)
        for number, (x, y) in _group_places(sizes, text, letter):
            yield f"{letter}{number}", (x, y, size)
    singles = {hole.label: hole for hole in flange.holes() if hole.group < 0}
    led = [sizes.say(ref) for ref in list(sizes.leaders) if isinstance(ref, HoleRef)]
    listed = re.findall(r"(X\d+(?:, X\d+)*(?: \([^)]*\))?: .*?PLACES PER HOLE TABLE)", sizes.notes)
    for text in led or listed:
        labels = re.findall(r"X\d+", text.split(":")[0])
        for label in labels:
            if "PLACES PER HOLE TABLE" in text:
                row = re.search(rf"\b{label} (-?[\d.]+) (-?[\d.]+) ", f"{sizes.notes} ")
                if not row:
                    raise AuditError(f"{label}: no row in the hole table")
                x, y = (sizes.length(each) for each in row.groups())
                yield label, (x, y, _hole_size(sizes, text.split(": ", 1)[1]))
            else:
                yield (
                    label,
                    (
                        *placed(sizes, singles[label].center, Feature.HOLE_PLACE),
                        _hole_size(sizes, text.split(": ", 1)[1]),
                    ),
                )


def _hole_size(sizes: Dimensions, text: str) -> float:
    """What is drilled: the tap drill of a thread, the width of a slot."""
    found = (
        re.search(f"(?:DRILL |/)⌀{NUMBER}", text) or re.search(f"SLOT {NUMBER}", text) or re.search(f"⌀{NUMBER}", text)
    )
    if not found:
        raise AuditError(f"{text}: no size")
    return sizes.length(found[1])


def _group_places(sizes: Dimensions, text: str, letter: str) -> Iterator[tuple[int, tuple[float, float]]]:
    if "RECTANGLE" in text:
        yield from enumerate(_rectangle(sizes, text), 1)
    elif "GRID" in text:
        yield from enumerate(_grid(sizes, text), 1)
    elif "RING" in text:
        yield from enumerate(_rings(sizes, text), 1)
    elif "PCD" not in text and " BC" not in text:
        yield from _pair(sizes, text)
    else:
        yield from _circle(sizes, text, letter)


def _pair(sizes: Dimensions, text: str) -> Iterator[tuple[int, tuple[float, float]]]:
    half = sizes.take(Feature.CENTER_DISTANCE) / 2
    found = re.search(r"(\d) AT (\w+)", text)
    if not found:
        raise AuditError(f"{text}: no direction")
    turn = ENDS[found[2]]
    yield int(found[1]), place_at(half, turn)
    yield 3 - int(found[1]), place_at(half, turn + 180.0)


def _circle(sizes: Dimensions, text: str, letter: str) -> Iterator[tuple[int, tuple[float, float]]]:
    radius = circle_of(sizes, text) / 2
    count_of = re.match(TIMES, text)
    assert count_of
    count = int(count_of[1])
    within = re.search(r"IN (\d+) (?:EQUAL|EQ SP) PLACES", text)
    places = int(within[1]) if within else count
    pairs = re.search(r"IN (\d+) PAIRS, THE TWO OF EACH ([\d.]+)° APART", text)
    steps = _pair_steps(int(pairs[1]), float(pairs[2]), text) if pairs else [360.0 * k / places for k in range(places)]
    first = _first_angle(steps, places, text, letter)
    numbers = set(range(1, places + 1))
    if left := re.search(r"NO HOLE AT ([\d, ]+)", text):
        numbers -= {int(each) for each in re.findall(r"\d+", left[1])}
    if only := re.search(r"ONLY PLACES (\d+) TO (\d+) DRILLED", text):
        numbers &= set(range(int(only[1]), int(only[2]) + 1))
    if part := re.search(r"HOLES ([\d, TO]+) ON THIS PART", text):
        runs = re.findall(r"(\d+)(?: TO (\d+))?", part[1])
        numbers &= {number for low, high in runs for number in range(int(low), int(high or low) + 1)}
    for number in sorted(numbers):
        yield number, place_at(radius, first + steps[number - 1])


def _pair_steps(pairs: int, apart: float, text: str) -> list[float]:
    """Angles from hole 1 of a circle of pairs: hole 1 and 2 are a pair, or 1 and the last one are."""
    between = 360.0 / pairs - apart
    found = re.search(r"(\d+) AND [A-Z]*(\d+) ([\d.]+)° EITHER SIDE", text)
    together = True
    if found:
        off, high, low = 2 * float(found[3]), int(found[1]), int(found[2])
        is_pair = abs(off - apart) < 1e-2
        together = is_pair == (high % 2 == 0 and low == high - 1)
    gaps = (apart, between) if together else (between, apart)
    return [sum(gaps[k % 2] for k in range(number)) for number in range(2 * pairs)]


def _first_angle(steps: list[float], places: int, text: str, letter: str) -> float:
    name = letter or "HOLES? "
    if found := re.search(rf"{name}(\d+) AND {letter}(\d+)(?: [\d.]+°)? EITHER SIDE OF (\w+)", text):
        one, other = (steps[int(each) - 1] for each in (found[1], found[2]))
        return ENDS[found[3]] + (one - other) % 360.0 / 2 - one
    if found := re.search(rf"{name}(\d+) AT (\w+)", text):
        return ENDS[found[2]] - steps[int(found[1]) - 1]
    if found := re.search(rf"{name}(\d+) ([\d.]+)° (CCW|CW) OF TOP", text):
        off = float(found[2]) * (1 if found[3] == "CCW" else -1)
        return 90.0 + off - steps[int(found[1]) - 1]
    raise AuditError(f"{text}: no direction")


def _rectangle(sizes: Dimensions, text: str) -> list[tuple[float, float]]:
    found = re.search(rf"RECTANGLE {NUMBER}(?: × | X ){NUMBER}", text)
    assert found
    width, height = (sizes.length(each) for each in found.groups())
    along = re.search(r"(\d+) ALONG X, (\d+) ALONG Y", text)
    columns, rows = (int(along[1]), int(along[2])) if along else (2, 2)
    places = [
        (width * (column / (columns - 1) - 0.5), height * (row / (rows - 1) - 0.5))
        for column in range(columns)
        for row in range(rows)
        if column in (0, columns - 1) or row in (0, rows - 1)
    ]
    places.sort(key=lambda at: round((math.degrees(math.atan2(at[1], at[0])) - 90) % 360, 6))
    turned = re.search(r"TURNED ([\d.]+)° (CCW|CW)", text)
    turn = math.radians(float(turned[1]) * (1 if turned[2] == "CCW" else -1)) if turned else 0.0
    x, y = _middle(sizes, text)
    cos, sin = math.cos(turn), math.sin(turn)
    return [(x + a * cos - b * sin, y + a * sin + b * cos) for a, b in places]


def _middle(sizes: Dimensions, text: str) -> tuple[float, float]:
    found = re.search(r"ITS MIDDLE AT X (-?[\d.]+), Y (-?[\d.]+)", text)
    return (sizes.length(found[1]), sizes.length(found[2])) if found else (0.0, 0.0)


def _grid(sizes: Dimensions, text: str) -> list[tuple[float, float]]:
    layout = re.search(r"(STAGGERED )?GRID, (\d+) COLUMNS, (\d+) ROWS", text)
    pitch = re.search(r"PITCH ([\d.]+)(?: × | X )([\d.]+)", text)
    assert layout
    assert pitch
    columns, rows, (across, up) = int(layout[2]), int(layout[3]), (sizes.length(each) for each in pitch.groups())
    within = re.search(f"WITHIN ⌀{NUMBER}", text)
    beyond = re.search(f"OUTSIDE ⌀{NUMBER}", text)
    radius = _hole_size(sizes, text) / 2
    x, y = _middle(sizes, text)
    found = []
    for row in range(rows):
        many = columns - 1 if layout[1] and row % 2 else columns
        for column in range(many):
            at = x + across * (column - (many - 1) / 2), y + up * ((rows - 1) / 2 - row)
            away = math.hypot(*at)
            inside = within is None or away + radius <= sizes.length(within[1]) / 2 + 1e-6
            if inside and (beyond is None or away - radius >= sizes.length(beyond[1]) / 2 - 1e-6):
                found.append(at)
    return found


def _rings(sizes: Dimensions, text: str) -> list[tuple[float, float]]:
    first = re.search(f"FIRST ⌀{NUMBER}", text)
    apart = re.search(f"{NUMBER} APART", text)
    listed = re.search(r"FROM INSIDE OUT: ((?:(?:\d+ OF )?\d+(?:, )?)+)", text)
    assert listed
    counts: list[int] = []
    for part in listed[1].strip(", ").split(", "):
        many, _, count = part.rpartition(" OF ")
        counts += [int(count)] * int(many or 1)
    radius = sizes.length(first[1]) / 2 if first else 0.0
    step = sizes.length(apart[1]) if apart else 0.0
    return [
        place_at(radius + step * ring, 90.0 + 360.0 * k / count)
        for ring, count in enumerate(counts)
        for k in range(count)
    ]
