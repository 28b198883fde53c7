"""A bolt goes through its hole, its seat has metal under it, and the mate has room for it: or ``check`` fails.

Fasteners: ISO 4014 and ISO 4032 (M20: shank 20, across flats 30; M16: 24), ISO 273 medium (M20: 22, M16: 17.5),
ISO 10642 and DIN 74 for countersinks, ISO 4762 and DIN 974-1 for socket heads (M16: head 16 high).
"""

from pathlib import Path

import pytest

from rows import every_row
from truth.outside import Ran, check, checked, command, draw, job_file, says

HEAD = 'units = "mm"\n[job]\nnumber = "MB-220"\n'


def plate(circle: str, thickness: float = 20, more: str = "", outside: float = 285) -> str:
    return f"{HEAD}[plate]\noutside_diameter = {outside}\nthickness = {thickness}\n{more}\n[[bolt_circle]]\n{circle}\n"


def circle(hole: float, bolt: str, more: str = "") -> str:
    return f'diameter = 240\nhole_count = 8\nhole_diameter = {hole}\nbolt = "{bolt}"\n{more}'


def fails(ran: Ran, *numbers: str) -> None:
    assert ran.code == 1, ran.out
    assert says(ran.out, *numbers), ran.out


@pytest.mark.parametrize(("hole", "bolt", "shank"), [(18, "M20", "20"), (18, "M24", "24"), (14, "M20", "20")])
def test_a_bolt_larger_than_its_hole_fails(hole: int, bolt: str, shank: str, tmp_path: Path) -> None:
    text = plate(circle(hole, bolt))
    fails(check(tmp_path, text), str(hole))
    assert bolt in check(tmp_path, text).out or says(check(tmp_path, text).out, shank)
    code, document = checked(tmp_path, text)
    assert (code, document["passes"]) == (1, False)
    drawn = draw(tmp_path, text)
    assert says(drawn.said, str(hole))  # on the screen of draw, whether or not it draws


@pytest.mark.parametrize(("hole", "bolt"), [(26, "M16"), (30, "M20"), (40, "M20")])
def test_a_hole_that_swallows_its_nut_fails(hole: int, bolt: str, tmp_path: Path) -> None:
    # A nut M16 is 24 across flats, a nut M20 30: 26 and 30 leave it no seat. With washers their outside counts, so the
    # hole is at least far past the coarse series of ISO 273 (M16: 18.5, M20: 24).
    fails(check(tmp_path, plate(circle(hole, bolt))), str(hole))


@every_row(("hole", "bolt"), [(22, "M20"), (24, "M20"), (21, "M20"), (17.5, "M16"), (18, "M16"), (22.225, "3/4")])
def test_a_bolt_in_its_own_clearance_hole_passes(hole: float, bolt: str, tmp_path: Path) -> None:
    ran = check(tmp_path, plate(circle(hole, bolt)))
    assert ran.code == 0, ran.out


def test_a_bolt_of_no_table_is_a_check_that_was_not_run_and_says_so(tmp_path: Path) -> None:
    ran = check(tmp_path, plate(circle(18, "M99")))
    assert "M99" in ran.said
    assert ran.code == 2 or "not run" in ran.out


@every_row("bolt", ["M20-8.8", "M20 8.8", "M20x2.5x80", "m20x80", "M20 stud"])
def test_however_a_bolt_is_written_the_same_checks_run(bolt: str, tmp_path: Path) -> None:
    # M20 through 18: fails under every spelling; through 22 on a bore 3 mm away its nut hangs over the bore.
    assert check(tmp_path, plate(circle(18, bolt))).code == 1
    near = "bore = 210"
    plain = check(tmp_path, plate(circle(22, "M20"), more=near))
    spelled = check(tmp_path, plate(circle(22, bolt), more=near))
    assert (spelled.code, spelled.out.count("ailed")) == (plain.code, plain.out.count("ailed"))


def test_a_bolt_written_as_a_bare_decimal_is_asked_about(tmp_path: Path) -> None:
    ran = check(tmp_path, plate(circle(40, "1.5")))
    assert ran.code == 2
    assert "1.5" in ran.err


@every_row(
    ("keys", "thickness", "figures"),
    [
        ('kind = "counterbored"\nbolt = "M16"', 12, ("12",)),
        ('kind = "counterbored"\nhole_diameter = 10\nseat_diameter = 20\nseat_depth = 50', 10, ("50", "10")),
        ('kind = "counterbored"\nhole_diameter = 9\nseat_diameter = 15\nseat_depth = 30', 12, ("30", "12")),
        ('kind = "countersunk"\nbolt = "M12"', 5, ("5",)),
        ('kind = "tapped"\nthread = "M16"\ndepth = 30', 20, ("30", "20")),
    ],
)
def test_a_seat_or_thread_deeper_than_the_plate_fails(
    keys: str, thickness: float, figures: tuple[str, ...], tmp_path: Path
) -> None:
    text = plate(f"diameter = 240\nhole_count = 8\n{keys}", thickness)
    ran = check(tmp_path, text)
    assert ran.code in (1, 2)
    assert says(ran.said, *figures)
    drawn = draw(tmp_path, text)
    assert says(drawn.said, *figures)


def test_a_head_that_stands_on_a_skin_of_metal_fails(tmp_path: Path) -> None:
    # 0.5 mm under the head of an M16 in an 18 mm hole: less than any practice leaves.
    keys = 'diameter = 240\nhole_count = 8\nhole_diameter = 18\nkind = "counterbored"\nseat_diameter = 30'
    fails(check(tmp_path, plate(f"{keys}\nseat_depth = 19.5")), "0.5")
    assert check(tmp_path, plate(f"{keys}\nseat_depth = 8")).code == 0


def test_countersinks_that_overlap_fail(tmp_path: Path) -> None:
    # 8 holes on 100: neighbors 38.3 apart, seats of 60.
    keys = 'diameter = 100\nhole_count = 8\nhole_diameter = 10\nkind = "countersunk"\nseat_diameter = 60'
    ran = check(tmp_path, plate(keys, 30))
    assert ran.code in (1, 2)
    assert says(ran.said, "60") or "21.73" in ran.said  # 60 - 200 sin 22.5 / 2


def test_a_mate_named_by_its_standard_is_mated_on_the_spot(tmp_path: Path) -> None:
    # M20 has 0.5 mm of room in 21 and 1 mm in the mate's 22: 241.3 for 240 is 0.65 mm apart and passes, 244 is 2 mm.
    mate = 'mates_with = "EN 1092-1 PN16 DN150"'

    def bolted(diameter: float, count: int = 8) -> str:
        return f'diameter = {diameter}\nhole_count = {count}\nhole_diameter = 21\nbolt = "M20"\n{mate}'

    wrong = check(tmp_path, plate(bolted(244)))
    assert wrong.code == 1, wrong.out
    assert "0.50" in wrong.out or says(wrong.out, "244", "240")
    fails(check(tmp_path, plate(bolted(240, count=12))), "12", "8")
    for diameter in (240, 241.3):
        ran = check(tmp_path, plate(bolted(diameter)))
        assert ran.code == 0, ran.out


def test_bolt_heads_must_fit_beside_the_mate_on_the_same_face(tmp_path: Path) -> None:
    # The pump flange JIS 10K 100A is 210 over all (r 105); heads of M20 on 240 reach in to 120 - 30/sqrt(3) = 102.7.
    text = (
        f'{HEAD}[plate]\noutside_diameter = 285\nbore = 100\nthickness = 30\nface = "pump face"\n'
        '[[bolt_circle]]\nname = "pipe side"\nstandard = "EN 1092-1 PN16 DN150"\nbolt = "M20"\n'
        '[[bolt_circle]]\nname = "pump side"\nstandard = "JIS B 2220 10K 100A"\nkind = "tapped"\nthread = "M16"\n'
        'mates_with = "JIS B 2220 10K 100A"\nstart_angle = 22.5\n'
    )
    fails(check(tmp_path, text), "210")


def test_a_motors_spigot_needs_a_bore_that_takes_it(tmp_path: Path) -> None:
    # IEC 60072-1 FF215 has a spigot of 180 mm; a bore of 130 leaves the motor standing on it.
    keys = 'standard = "IEC 60072-1 FF215"\nmates_with = "IEC 60072-1 FF215"'
    fails(check(tmp_path, plate(keys, 20, "bore = 130", 300)), "180", "130")
    assert check(tmp_path, plate(keys, 20, "bore = 181", 300)).code == 0


def test_a_weld_without_a_hub_is_a_check_that_was_not_run(tmp_path: Path) -> None:
    text = plate(circle(22, "M20"), more="bore = 170") + "[checks]\nweld = 8\n"
    ran = check(tmp_path, text)
    assert "hub_diameter" in ran.said
    assert "weld" in ran.said.lower()


def test_where_the_circle_comes_from_does_not_silence_a_check(tmp_path: Path) -> None:
    # Nuts M27 on 160 over a bore of 118.8: written, of a standard or measured, they hang over it all the same.
    keys = 'hole_count = 6\nhole_diameter = 30\nbolt = "M27"'
    readings = "".join(
        f'[[survey.reading]]\nkind = "centers"\nvalue = {value}\nfrom = {a}\nto = {b}\n'
        for value, a, b in ((80, 1, 2), (80, 2, 3), (160, 1, 4), (160, 2, 5))
    )
    base = "bore = 118.8"
    written = check(tmp_path, plate(f"diameter = 160\n{keys}", 22, base))
    measured = check(
        tmp_path, plate(f'diameter = "measured"\n{keys}', 22, base) + f"[survey]\nhole_count = 6\n{readings}"
    )
    assert written.code == measured.code == 1
    seats = [[line for line in ran.out.splitlines() if "over the bore" in line] for ran in (written, measured)]
    assert seats[0]
    assert len(seats[0]) == len(seats[1])
    assert [line.split(":")[0] for line in seats[0]] == [line.split(":")[0] for line in seats[1]]


@pytest.mark.parametrize(
    "text",
    [
        # Plasma: no hole smaller than 1.5 times the thickness (common practice): 20 in 20 mm.
        plate("diameter = 240\nhole_count = 8\nhole_diameter = 20", 20) + '[cut]\nprocess = "plasma"\n',
        # Holes on 240 across the edge of a raised face of 230.
        plate(
            "diameter = 240\nhole_count = 8\nhole_diameter = 22",
            20,
            "raised_face_diameter = 230\nraised_face_height = 2",
        ),
    ],
)
def test_failed_means_the_same_on_screen_in_json_and_in_the_exit_code(text: str, tmp_path: Path) -> None:
    ran = check(tmp_path, text)
    code, document = checked(tmp_path, text)
    assert ran.code == code == 1
    assert document["passes"] is False
    assert "0 checks failed" not in ran.out
    assert "warning" not in ran.out.lower() or "failed" in ran.out.lower()


def test_numbers_of_an_absurd_size_for_their_unit_are_asked_about(tmp_path: Path) -> None:
    # 285, 240, 8 x 22 is PN16 DN150 in mm; in inches it is a plate of 7 m.
    text = 'units = "in"\n[plate]\noutside_diameter = 285\n[[bolt_circle]]\n'
    text += "diameter = 240\nhole_count = 8\nhole_diameter = 22\n"
    ran = check(tmp_path, text)
    assert ran.code in (1, 2)
    assert "mm" in ran.said
    drawn = command(tmp_path, "draw", job_file(tmp_path, text), "--only", "sheet")
    assert "mm" in drawn.said
    assert "285" in drawn.said or "22" in drawn.said or "240" in drawn.said
