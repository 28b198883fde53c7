"""``flangelayout derive``: parts that go with a flange, and what happens when the flange changes."""

import json
import math
from collections.abc import Callable
from pathlib import Path

import pytest

from flangelayout.batch.bill import ordered
from flangelayout.checks.finding import Result
from flangelayout.checks.rule import Rule
from flangelayout.cli import run
from flangelayout.flange import Slot
from flangelayout.flange.joints import MateSource
from flangelayout.flange.plate import Deviations
from flangelayout.flange.turning import PlateFace, TurnedKind
from flangelayout.job import Job
from flangelayout.job.load import load_job
from flangelayout.units import Unit
from flangelayout.views.words.bench.measuring import machined_sizes
from flangelayout.views.words.bill import bill_table
from flangelayout.views.words.lengths import Lengths
from jobs import job_data, toml_text

Printed = Callable[..., tuple[int, str, str]]
PARTS = ("gasket", "full-face-gasket", "blind", "spacer", "mate", "paddle")
PLAIN = {"diameter": 240, "hole_count": 8, "hole_diameter": 22, "bolt": "M20"}
SKEW_EDGE = [{"x": x, "y": y} for x, y in ((-150, -150), (170, -150), (150, 150), (-150, 150))]
SKEW = PLAIN | {"start_angle": 7.0, "skip": [2]}


@pytest.fixture
def printed(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Printed:
    """Runs a command in an empty folder and gives its exit code, its output and its errors."""
    monkeypatch.chdir(tmp_path)

    def call(*arguments: str) -> tuple[int, str, str]:
        code = run(arguments)
        return code, *capsys.readouterr()

    return call


def parent(folder: Path, circle: dict[str, object], **tables: object) -> Job:
    file = folder / "T-1.toml"
    file.write_text(toml_text(job_data(bolt_circle=[circle], **tables)), encoding="utf-8")
    return load_job(file)


def derived(printed: Printed, folder: Path, part: str, *options: str) -> Job:
    (folder / f"T-1-{part}.toml").unlink(missing_ok=True)
    code, out, err = printed("derive", part, "T-1.toml", *options)
    assert (code, err) == (0, "")
    assert out == f"wrote T-1-{part}.toml; edit what differs, then: flangelayout draw T-1-{part}.toml\n"
    return load_job(folder / f"T-1-{part}.toml")


def places(job: Job, mirrored: bool = False) -> list[tuple[float, float]]:
    """Where the holes stand, to a thousandth; turned over about the vertical where asked."""
    sign = -1 if mirrored else 1
    return sorted((round(sign * hole.center.x, 3) + 0.0, round(hole.center.y, 3) + 0.0) for hole in job.flange.holes())


@pytest.mark.parametrize(
    ("part", "circle"),
    [
        ("blind", PLAIN),
        ("blind", SKEW),
        ("mate", PLAIN | {"placement": "on-centerline", "hole_count": 5}),
        ("mate", SKEW | {"kind": "slot", "slot_length": 30}),
        ("full-face-gasket", SKEW),
    ],
    ids=str,
)
def test_the_holes_of_a_derived_part_meet_those_of_its_flange(
    part: str, circle: dict[str, object], tmp_path: Path, printed: Printed
) -> None:
    """A blind lies on the flange face to face, so its holes are those of the flange turned over; a gasket's are not."""
    flange = parent(tmp_path, circle)
    found = derived(printed, tmp_path, part)
    assert places(found, mirrored=part != "full-face-gasket") == places(flange)
    assert found.flange.round_diameter == flange.flange.round_diameter
    assert {hole.diameter for hole in found.flange.holes()} == {22.0}
    assert found.flange.bore == (None if part == "blind" else 170)
    code, out, _ = printed("mate", "T-1.toml", f"T-1-{part}.toml", "--json")
    assert (code, json.loads(out)["verdict"]) == (0, "bolts pass")


@pytest.mark.parametrize("part", PARTS)
def test_a_derived_part_has_a_file_of_its_own_and_no_bolts_in_its_bill(
    part: str, tmp_path: Path, printed: Printed
) -> None:
    flange = parent(tmp_path, PLAIN | {"gasket_thickness": 1.5})
    found = derived(printed, tmp_path, part, "--thickness", "12")
    assert found.parent is not None
    assert (found.parent.number, found.parent.revision, found.parent.digest) == ("T-1", "A", flange.digest)
    assert found.info.number.startswith("T-1-")
    assert found.flange.thickness == 12
    rows = bill_table(found.flange, 1, Lengths(found.unit)).rows
    assert len(rows) == 1, rows
    told = [each for each in found.findings if each.rule is Rule.PARENT]
    assert [each.result for each in told] == [Result.PASSED]
    assert not [each for each in found.findings if each.result is Result.FAILED]
    if part in ("full-face-gasket", "paddle"):
        assert printed("draw", f"T-1-{part}.toml")[0] == 0


def test_a_part_of_metal_names_its_flange_as_its_mate_and_is_held_against_it(tmp_path: Path, printed: Printed) -> None:
    """The mate check runs against the file; without the file the part is still the same job."""
    parent(tmp_path, PLAIN)
    found = derived(printed, tmp_path, "blind")
    assert [(mate.called, mate.source) for mate in found.flange.mates] == [("T-1", MateSource.JOB)]
    rules = {each.rule for each in found.findings if each.result is Result.PASSED}
    assert {Rule.MATE_BOLTS, Rule.MATE_SEAT} <= rules
    parent(tmp_path, PLAIN | {"diameter": 246.0})
    changed = load_job(tmp_path / "T-1-blind.toml")
    assert Rule.MATE_BOLTS in {each.rule for each in changed.findings if each.failed}, "3 mm off, 1 mm room"
    (tmp_path / "T-1.toml").unlink()
    assert load_job(tmp_path / "T-1-blind.toml").digest == changed.digest == found.digest


def test_all_circles_on_its_side_are_carried_and_one_where_asked(tmp_path: Path, printed: Printed) -> None:
    """The circle whose mate lies on the back stays behind; jack screws push, they hold nothing."""
    circles = [
        PLAIN | {"name": "outer"},
        {"diameter": 200, "hole_count": 4, "hole_diameter": 14, "bolt": "M12", "start_angle": 10},
        {"diameter": 240, "hole_count": 2, "kind": "jack", "thread": "M12", "placement": "on-centerline"},
    ]
    file = tmp_path / "T-1.toml"
    file.write_text(toml_text(job_data(bolt_circle=circles)), encoding="utf-8")
    code, out, _ = printed("derive", "blind", "T-1.toml", "both.toml")
    assert code == 0
    assert "with 2 bolt circles of T-1.toml" in out
    both = load_job(tmp_path / "both.toml")
    assert [each.diameter for each in both.flange.bolt_circles] == [240, 200]
    assert {round(math.hypot(x, y)) for x, y in places(both)} == {120, 100}
    seen = [place for place in places(load_job(file)) if round(math.hypot(*place), 3) in (120, 100)]
    assert {tuple(place) for place in places(both, mirrored=True)} <= set(seen)
    assert printed("derive", "blind", "T-1.toml", "one.toml", "--circle", "outer")[0] == 0
    assert [each.diameter for each in load_job(tmp_path / "one.toml").flange.bolt_circles] == [240]
    behind = [{"circle": "B", "face": "back", "outside_diameter": 230, "thickness": 20, "hole_diameter": 14}]
    file.write_text(toml_text(job_data(bolt_circle=circles, mate=behind)), encoding="utf-8")
    assert printed("derive", "blind", "T-1.toml", "face.toml")[0] == 0
    assert [each.diameter for each in load_job(tmp_path / "face.toml").flange.bolt_circles] == [240]


def test_what_is_blind_from_the_back_meets_a_part_there_as_wide_as_its_row(tmp_path: Path, printed: Printed) -> None:
    """Threads blind from the back hold nothing that lies on the face; JIS B 2220 10K 100A is 210 wide."""
    back = {"kind": "tapped", "thread": "M16", "depth": 24, "worked_from": "back", "start_angle": 10}
    circles = [PLAIN, {"standard": "JIS B 2220 10K 100A"} | back]
    file, plate = tmp_path / "T-1.toml", {"outside_diameter": 285, "bore": 100, "thickness": 45}
    file.write_text(toml_text(job_data(plate=plate, bolt_circle=circles)), encoding="utf-8")
    assert [each.diameter for each in derived(printed, tmp_path, "blind").flange.bolt_circles] == [240]
    assert printed("derive", "mate", "T-1.toml", "b.toml", "--circle", "B")[0] == 0
    mate = load_job(tmp_path / "b.toml")
    assert (mate.flange.round_diameter, places(mate)) == (
        210,
        sorted(p for p in places(load_job(file)) if abs(math.hypot(*p) - 87.5) < 1e-3),
    )


def test_a_part_across_from_sunk_heads_is_seen_as_the_plate_is(tmp_path: Path, printed: Printed) -> None:
    """Heads sunk in the named face hold what lies behind the plate; it turns its joint face the way that one looks."""
    sunk = {"kind": "counterbored", "seat_diameter": 33, "seat_depth": 10, "hole_count": 7, "start_angle": 10}
    file, plate = tmp_path / "T-1.toml", {"outside_diameter": 285, "bore": 100, "thickness": 45}
    for face, behind in (("face", True), ("back", False)):
        circle = {"diameter": 240, "hole_diameter": 22, "bolt": "M20", "worked_from": face} | sunk
        file.write_text(toml_text(job_data(plate=plate, bolt_circle=[circle])), encoding="utf-8")
        mate = derived(printed, tmp_path, "mate")
        assert places(mate, mirrored=not behind) == places(load_job(file))


def test_a_plate_that_is_not_round_hands_its_edge_and_its_bolts_on(tmp_path: Path, printed: Printed) -> None:
    """A base plate: its bolts by x and y, turned over for what lies on it; its lone vent stays behind."""
    file = tmp_path / "T-1.toml"
    plate = {"outline": "rectangle", "width": 300, "height": 200, "corner_radius": 20, "thickness": 15, "bore": 80}
    rectangle = {"width": 250, "height": 150, "columns": 2, "rows": 2, "x": 10, "bolt": "M16"}
    opening = {"shape": "circle", "diameter": 20, "x": 0, "y": 60}
    keys = job_data(plate=plate, hole_rectangle=[rectangle], opening=[opening], hole=[{"diameter": 8, "x": 60, "y": 0}])
    del keys["bolt_circle"]
    file.write_text(toml_text(keys), encoding="utf-8")
    mate, gasket = (derived(printed, tmp_path, part) for part in ("mate", "full-face-gasket"))
    corners = sorted((x, y) for x in (-115.0, 135.0) for y in (-75.0, 75.0))
    assert (places(mate, mirrored=True), places(gasket)) == (corners, corners)
    for found in (mate, gasket):
        assert (found.flange.box().width, found.flange.box().height) == (300, 200)
        assert len(found.flange.openings) == 1
        assert len(bill_table(found.flange, 1, Lengths(found.unit)).rows) == 1
    code, _, err = printed("derive", "gasket", "T-1.toml")
    assert code == 2
    assert "bolt_circle: a gasket is derived from" in err


def test_what_is_turned_on_the_flange_is_met_by_the_part_on_it(tmp_path: Path, printed: Printed) -> None:
    """A spigot goes into a register, ISO 286 h8 in H8 or half a millimeter loose; a slot of the flange stays a slot."""
    spigot = {"kind": "spigot", "diameter": 200, "height": 4}
    parent(tmp_path, PLAIN, turned=[spigot])
    (loose,) = derived(printed, tmp_path, "blind").flange.turned
    assert (loose.kind, loose.face, loose.diameter, loose.size) == (TurnedKind.RECESS, PlateFace.FACE, 200.5, 4.5)
    parent(tmp_path, PLAIN, turned=[spigot | {"fit": "h8"}, spigot | {"face": "back", "diameter": 190}])
    found = derived(printed, tmp_path, "mate")
    (fitted,) = found.flange.turned
    assert (fitted.diameter, fitted.fit.name if fitted.fit else "") == (200, "H8")
    assert not [each for each in found.findings if each.failed]
    assert derived(printed, tmp_path, "gasket").flange.bore == 200, "open round the spigot"
    parent(tmp_path, PLAIN | {"kind": "slot", "slot_length": 30})
    hole = derived(printed, tmp_path, "full-face-gasket").flange.holes()[0]
    assert isinstance(hole.kind, Slot)
    assert hole.kind.length == 30


def test_a_gasket_is_as_wide_as_the_bill_says_and_ordered_once(tmp_path: Path, printed: Printed) -> None:
    """Raised face of 212 inside bolts of 20 on 240: 212 by 170; ASME B16.21 NPS 6 Class 150: 8 3/4 in."""
    ring = {"outside_diameter": 285, "bore": 170, "thickness": 22, "raised_face_diameter": 212, "raised_face_height": 2}
    flange = parent(tmp_path, PLAIN, plate=ring)
    found = derived(printed, tmp_path, "gasket")
    assert (found.flange.round_diameter, found.flange.bore) == (212, 170)
    assert "⌀212 / ⌀170 ×" in str(bill_table(flange.flange, 1, Lengths(Unit.MM)).rows)
    together = [(each.total, each.row.part) for each in ordered((flange, found))]
    assert [part for _, part in together if "gasket" in part] == ["gasket, fiber gasket sheet"]
    blind = derived(printed, tmp_path, "blind")
    assert (8, "hexagon bolt, mate assumed as thick as this plate") in [
        (each.total, each.row.part) for each in ordered((flange, found, blind))
    ], "the joint is in the bill of the flange, and stays there"
    parent(tmp_path, {"standard": "6 in 150 lb"}, plate={"standard": "6 in 150 lb", "bore": 168, "thickness": 24})
    assert derived(printed, tmp_path, "gasket").flange.round_diameter == pytest.approx(8.75 * 25.4)


def test_parts_of_several_circles_have_numbers_and_sizes_of_their_own(tmp_path: Path, printed: Printed) -> None:
    """A counter-flange is as thick and as wide as the job says of the mate: JIS B 2220 10K 100A is 210 wide."""
    circles = [PLAIN | {"mate_thickness": 18}, {"standard": "JIS B 2220 10K 100A", "kind": "tapped", "thread": "M16"}]
    mates = [{"circle": "B", "standard": "JIS B 2220 10K 100A", "face": "face", "thickness": 20}]
    file = tmp_path / "T-1.toml"
    plate = {"outside_diameter": 285, "bore": 100, "thickness": 45}
    file.write_text(toml_text(job_data(plate=plate, bolt_circle=circles, mate=mates)), encoding="utf-8")
    made = {}
    for circle in "AB":
        for part in ("mate", "gasket"):
            assert printed("derive", part, "T-1.toml", f"{part}{circle}.toml", "--circle", circle)[0] == 0
            made[part, circle] = load_job(tmp_path / f"{part}{circle}.toml")
    assert sorted(job.info.number for job in made.values()) == ["T-1-GA", "T-1-GB", "T-1-MA", "T-1-MB"]
    sizes = [(made["mate", at].flange.round_diameter, made["mate", at].flange.thickness) for at in "AB"]
    assert sizes == [(285, 18), (210, 20)]


def test_what_bolts_to_a_tapped_circle_has_holes_for_its_bolts(tmp_path: Path, printed: Printed) -> None:
    """ISO 273 medium: 22 for M20."""
    parent(tmp_path, {"diameter": 240, "hole_count": 8, "kind": "tapped", "thread": "M20"})
    assert {hole.diameter for hole in derived(printed, tmp_path, "mate").flange.holes()} == {22.0}


def test_what_lies_inside_the_bolts_is_clear_of_them(tmp_path: Path, printed: Printed) -> None:
    """Bolts of 20 on 240 leave 220 between them, holes of 22 leave 218 (BS 4865-1:1989, table 6, DN150)."""
    parent(tmp_path, PLAIN)
    assert derived(printed, tmp_path, "gasket").flange.round_diameter == 218
    assert derived(printed, tmp_path, "spacer", "--thickness", "30").flange.round_diameter == 218
    paddle = derived(printed, tmp_path, "paddle", "--thickness", "14")
    box = paddle.flange.box()
    assert box.top > 285 / 2 + 50, "the handle stands out of the flange"
    assert box.width == pytest.approx(218)
    for angle in (67.5, 112.5):
        bolt = (120 * math.cos(math.radians(angle)), 120 * math.sin(math.radians(angle)))
        assert abs(bolt[0]) - 10 > 60 / 2, "and passes between two bolts"


def test_a_gasket_is_open_as_the_bill_says_round_a_spigot_of_the_mate(tmp_path: Path, printed: Printed) -> None:
    """A spigot of 190 wider than the bore of 170 passes through the gasket."""
    mate = {"name": "pump", "outside_diameter": 285, "thickness": 20, "bore": 150, "spigot_diameter": 190}
    turned = [{"kind": "recess", "diameter": 190, "depth": 5}]
    flange = parent(tmp_path, PLAIN, turned=turned, mate=[mate | {"spigot_height": 4, "gasket_thickness": 2}]).flange
    assert flange.bore == 170
    assert "⌀218 / ⌀190 × 2" in str(bill_table(flange, 1, Lengths(Unit.MM)).rows)
    for part in ("gasket", "full-face-gasket"):
        assert derived(printed, tmp_path, part).flange.bore == 190


def test_gasket_tolerances_are_those_of_asme_b16_21(tmp_path: Path, printed: Printed) -> None:
    """ASME B16.21-2005, 4.2: to NPS 12 outside +0/-1.5, inside 1.5, from NPS 14 +0/-3 and 3; circle 1.5, pitch 1."""
    parent(tmp_path, PLAIN)
    found = derived(printed, tmp_path, "full-face-gasket")
    (note,) = [note for note in found.info.notes if "EN 1514-1" in note]
    assert note.startswith("Limits by ASME B16.21-2005, 4.2, NPS 12 and smaller and EN 1514-1, any two holes as neigh")
    assert note.endswith("; not verified, the supplier's drawing decides.")
    rows = {name: limits for name, _, limits in machined_sizes(found.flange, Lengths(Unit.MM))}
    assert rows == {"outside": "283.5 – 285.0", "bore": "168.5 – 171.5"}
    opening = "open as told or as the widest bore stated of the joint: hold it against both sides"
    assert f"Made as the flange, {opening}; not to a gasket standard's sizes." in found.info.notes
    limits = found.inspection.group(0)
    assert limits.chord is not None
    assert limits.chord.value == 1.0, "of neighbors as published, and of no other two more: the diagonals as well"
    large = PLAIN | {"diameter": 470, "hole_count": 16}
    parent(tmp_path, large, plate={"outside_diameter": 520, "bore": 360, "thickness": 22})
    ring = derived(printed, tmp_path, "gasket").flange.tolerances
    assert (ring.outside, ring.bore, ring.chord) == (Deviations(0.0, 3.0), Deviations(3.0, 3.0), None)
    parent(tmp_path, large, plate={"outside_diameter": 520, "thickness": 22}, template={"paper": "A3"})
    of_cover = derived(printed, tmp_path, "full-face-gasket", "--bore", "360")
    assert of_cover.flange.tolerances.bore == Deviations(3.0, 3.0), "a cover has no bore, its gasket has"
    assert of_cover.template.paper == "A3", "a part is printed where its parent is"


def test_a_change_of_the_flange_is_noticed_and_the_cure_named(tmp_path: Path, printed: Printed) -> None:
    parent(tmp_path, PLAIN)
    derived(printed, tmp_path, "blind")
    parent(tmp_path, PLAIN | {"diameter": 241.3})
    code, out, _ = printed("check", "T-1-blind.toml")
    assert code == 1
    assert "blind derived from T-1 rev A (" in out
    assert "which has changed since; derive it again" in out
    code, out, _ = printed("draw", "T-1-blind.toml")
    assert code == 1
    assert "which has changed since" in out
    (tmp_path / "T-1.toml").unlink()
    code, out, _ = printed("check", "T-1-blind.toml")
    assert code == 0
    assert "the file of the part it was derived from is not there" in out


def test_a_bill_has_the_bore_of_a_drawn_gasket_and_what_its_check_failed(tmp_path: Path, printed: Printed) -> None:
    parent(tmp_path, PLAIN)
    ring = derived(printed, tmp_path, "gasket").flange
    assert ring.round_diameter is not None
    assert ring.bore is not None
    ordered = f"1 x gasket, fiber gasket sheet, ⌀{ring.round_diameter:g} / ⌀{ring.bore:g} × 2 mm"
    _, out, _ = printed("bill", "T-1.toml", "T-1-gasket.toml")
    assert ordered in out
    assert "CHECK FAILED" not in out
    parent(tmp_path, PLAIN | {"diameter": 241.3})
    _, out, _ = printed("bill", "T-1.toml", "T-1-gasket.toml", "--csv", "order.csv")
    for told in (out, (tmp_path / "order.csv").read_text(encoding="utf-8-sig")):
        assert "CHECK FAILED: ring gasket derived from T-1 rev A (" in told


def test_a_file_in_another_folder_finds_its_flange(tmp_path: Path, printed: Printed) -> None:
    parent(tmp_path, PLAIN)
    (tmp_path / "covers").mkdir()
    assert printed("derive", "blind", "T-1.toml", "covers/lid.toml")[0] == 0
    found = load_job(tmp_path / "covers" / "lid.toml")
    assert found.parent is not None
    assert found.parent.file == "../T-1.toml"
    assert [each.result for each in found.findings if each.rule is Rule.PARENT] == [Result.PASSED]


@pytest.mark.parametrize(
    ("tables", "arguments", "words"),
    [
        ({}, ("spacer",), "--thickness: say how thick the spacer is"),
        ({"plate": {"outside_diameter": 285, "thickness": 22}}, ("gasket",), "--bore: say how far the gasket is open"),
        (
            {"plate": {"outline": "split", "outside_diameter": 285, "inside_diameter": 170, "part_count": 2}},
            ("blind",),
            "plate.outline: a blind is derived from a plate in one piece",
        ),
        (
            {"plate": {"outline": "path", "thickness": 20, "path": SKEW_EDGE}},
            ("mate",),
            "plate.outline: a mate is drawn from the face that lies on this plate",
        ),
        ({}, ("blind", "--circle", "C"), "--circle: "),
        ({}, ("blind", "--thickness", "thick"), "--thickness: "),
    ],
)
def test_what_cannot_be_derived_is_told_and_nothing_written(
    tables: dict[str, object], arguments: tuple[str, ...], words: str, tmp_path: Path, printed: Printed
) -> None:
    parent(tmp_path, PLAIN, **tables)
    code, _, err = printed("derive", arguments[0], "T-1.toml", *arguments[1:])
    assert code == 2
    assert words in err
    assert sorted(each.name for each in tmp_path.iterdir()) == ["T-1.toml"]


def test_a_file_that_is_there_stays(tmp_path: Path, printed: Printed) -> None:
    parent(tmp_path, PLAIN)
    derived(printed, tmp_path, "blind")
    before = (tmp_path / "T-1-blind.toml").read_bytes()
    code, _, err = printed("derive", "blind", "T-1.toml")
    assert code == 2
    assert "is already there; to derive it again take it away, or name another file" in err
    assert (tmp_path / "T-1-blind.toml").read_bytes() == before
