"""Random adapters with both mates, placed in three dimensions by an own model: ``check`` names what that finds."""

import math
import random
from typing import Any

import pytest

from checks.joint.solids import CBORES, SIZES, Assembled, Bolts, Part, Sunk
from flangelayout.checks import Rule
from flangelayout.errors import InputError
from flangelayout.job.load import job_from_data

NAMED_BY = {
    "spigot": {Rule.MATE_SPIGOT, Rule.SPIGOT_DEPTH},
    "own spigot": {Rule.SPIGOT_IN_MATE},
    "two spigots": {Rule.MATES_MEET},
    "on part": {Rule.MATE_SEAT},
    "worked": {Rule.WORKED_FACE},
    "sunk head": {Rule.HEAD_SUNK},
    "head": {Rule.MATE_RIM},
    "wall": {Rule.SEAT_FLAT},
    "edge": {Rule.SEAT_ON_PLATE},
    "bore": {Rule.SEAT_CLEAR_OF_BORE},
    "next": {Rule.SEATS_APART},
    "two heads": {Rule.SEATS_APART},
}
"""The rules that name a fault of the model; other rules look at what it does not place."""
_ASKED = set().union(*NAMED_BY.values())
_SURE = 0.02
"""Gaps nearer to nothing than this, in mm, may be told either way: tables print corners to a hundredth."""
HOLES = {"M10": 11.0, "M12": 13.5, "M16": 17.5, "M20": 22.0}
TAP_DRILLS = {"M10": 8.5, "M12": 10.2, "M16": 14.0, "M20": 17.5}
Keys = dict[str, Any]


def random_bolts(rng: random.Random, radius: float, face: str) -> Bolts:
    bolt, kind = rng.choice(list(SIZES)), rng.choice(["drilled", "drilled", "tapped", "blind", "counterbored"])
    across = "back" if face == "face" else "face"
    right = face if kind == "blind" else across
    worked = right if rng.random() < 0.85 else {"face": "back", "back": "face"}[right]
    size = SIZES[bolt]
    return Bolts(
        radius=radius,
        count=rng.choice([4, 6, 8, 12]),
        bolt=bolt,
        kind=kind,
        turn=rng.choice([0.0, 11.0, 22.5]),
        hole=HOLES[bolt] if kind in ("drilled", "counterbored") else TAP_DRILLS[bolt],
        worked=worked if kind in ("blind", "counterbored") else "face",
        washers=rng.random() < 0.5,
        cbore_depth=round(size * rng.choice([0.8, 1.0, 1.06]), 1) if kind == "counterbored" else 0.0,
        depth=round(size * 1.2, 1),
    )


def random_part(rng: random.Random, circle: Bolts, face: str, plate_bore: float) -> Part:
    outer = round(circle.radius + rng.uniform(10.0, 30.0), 1)
    spigot = rng.choice([None, None, round(rng.uniform(20.0, max(circle.radius - 12.0, 25.0)), 1)])
    bore = None if spigot else rng.choice([None, round(rng.uniform(10.0, circle.radius - 15.0), 1)])
    return Part(
        face=face,
        outer=outer,
        bore=bore,
        thickness=rng.uniform(12.0, 30.0),
        spigot=min(spigot, plate_bore) if spigot and rng.random() < 0.4 and plate_bore else spigot,
        height=rng.choice([3.0, 5.0, 16.0]),
        hub=rng.choice([None, round(circle.radius - rng.uniform(8.0, 40.0), 1)]),
    )


def random_adapter(rng: random.Random) -> Assembled:
    bore = rng.choice([0.0, round(rng.uniform(20.0, 60.0), 1)])
    radii = sorted(round(rng.uniform(45.0, 150.0), 1) for _ in range(2))
    rng.shuffle(radii)
    faces = ("face", "back") if rng.random() < 0.85 else ("face", "face")
    circles = [random_bolts(rng, radius, face) for radius, face in zip(radii, faces, strict=True)]
    parts = [random_part(rng, circle, face, bore) for circle, face in zip(circles, faces, strict=True)]
    outer = round(max(radii) + rng.uniform(14.0, 50.0), 1)
    plate = Assembled(outer, bore, rng.choice([26.0, 34.0, 48.0]), [], circles, parts)
    for part in parts:
        if part.spigot and part.spigot > bore and rng.random() < 0.75:
            wide = part.spigot + rng.choice([0.0, 0.0, -2.0])
            if wide > bore + 1 and not any(each.face == part.face for each in plate.turned):
                plate.turned.append(Sunk(part.face, 0.0, wide, -rng.choice([part.height, part.height + 0.5, 2.0])))
        elif part.bore and part.bore > bore + 2 and not any(each.face == part.face for each in plate.turned):
            wide = round(part.bore + rng.choice([-1.0, 0.0, 2.0]), 1)
            plate.turned += [Sunk(part.face, 0.0, wide, 4.0)] if rng.random() < 0.5 else []
    return plate


def job_of(plate: Assembled) -> Keys:
    """The job file of an adapter, as a person would write it."""
    return {
        "job": {"number": "T-1"},
        "plate": {
            "outside_diameter": 2 * plate.outer,
            "thickness": plate.thickness,
            **({"bore": 2 * plate.bore} if plate.bore else {}),
        },
        "bolt_circle": [circle_of(circle) for circle in plate.circles],
        "turned": [turned_of(each) for each in plate.turned],
        "mate": [mate_of(index, part) for index, part in enumerate(plate.parts)],
    }


def circle_of(circle: Bolts) -> Keys:
    keys: Keys = {"diameter": 2 * circle.radius, "hole_count": circle.count, "start_angle": circle.turn}
    keys |= {"bolt": circle.bolt, "washers": 2 if circle.washers else 0}
    if circle.kind == "drilled":
        return keys | {"hole_diameter": circle.hole}
    if circle.kind == "counterbored":
        seat = {"seat_diameter": CBORES[circle.bolt][0], "seat_depth": circle.cbore_depth}
        return keys | seat | {"kind": "counterbored", "hole_diameter": circle.hole, "worked_from": circle.worked}
    blind = {"depth": circle.depth, "worked_from": circle.worked} if circle.kind == "blind" else {}
    return keys | {"kind": "tapped", "thread": circle.bolt} | blind


def turned_of(each: Sunk) -> Keys:
    size = {"depth": -each.rise} if each.rise < 0 else {"height": each.rise}
    kind = "recess" if each.rise < 0 else "spigot"
    return {"kind": kind, "face": each.face, "diameter": 2 * each.outer, **size}


def mate_of(index: int, part: Part) -> Keys:
    keys: Keys = {"circle": "AB"[index], "name": f"part {index + 1}", "face": part.face, "thickness": part.thickness}
    keys["outside_diameter"] = 2 * part.outer
    keys |= {"bore": 2 * part.bore} if part.bore else {}
    keys |= {"spigot_diameter": 2 * part.spigot, "spigot_height": part.height} if part.spigot else {}
    return keys | ({"hub_diameter": 2 * part.hub} if part.hub else {})


def compared(seed: int) -> tuple[set[str], set[str], bool]:
    """What the model finds and check does not name; what check fails and the model does not find; whether it ran."""
    plate = random_adapter(random.Random(seed))
    try:
        found = job_from_data(job_of(plate)).findings
    except InputError:  # the plate contradicts itself: check stops before it is assembled
        return set(), set(), False
    failed = {each.rule for each in found if each.failed} & _ASKED
    gaps = plate.find()
    unnamed = {kind for kind, gap in gaps.items() if gap < -_SURE and not failed & NAMED_BY[kind]}
    alarms = {
        rule.value
        for rule in failed
        if not any(gaps.get(kind, math.inf) < _SURE for kind, rules in NAMED_BY.items() if rule in rules)
    }
    return unnamed, alarms, True


def run(seeds: range) -> None:
    results = {seed: compared(seed) for seed in seeds}
    ran = [seed for seed, (*_, went) in results.items() if went]
    assert len(ran) > len(seeds) / 3
    assert {seed: unnamed for seed, (unnamed, *_) in results.items() if unnamed} == {}
    alarms = {seed: alarms for seed, (_, alarms, _) in results.items() if alarms}
    assert len(alarms) <= len(ran) / 100, alarms


def test_a_few_adapters_are_told_as_they_stand_in_space() -> None:
    run(range(40))


@pytest.mark.property_deep
def test_hundreds_of_adapters_are_told_as_they_stand_in_space() -> None:
    run(range(1000, 2500))


def test_the_model_sees_every_kind_of_fault() -> None:
    """Over a thousand random adapters every kind of fault and its opposite comes up, so that none is asked in vain."""
    seen: dict[str, set[bool]] = {}
    for seed in range(1000):
        for kind, gap in random_adapter(random.Random(seed)).find().items():
            seen.setdefault(kind, set()).add(gap < 0)
    assert {kind for kind, signs in seen.items() if signs == {True, False}} == set(NAMED_BY)
