"""Designations as people write them: what they find, what is ambiguous, what is suggested."""

from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from flangelayout.errors import InputError
from flangelayout.standards import Confidence, Family, all_patterns, find, matching, search
from flangelayout.standards.designations.answers import Asked, Found, Missed, Why
from flangelayout.standards.designations.lookup import look_up
from rows import every_row


def error_of(text: str) -> str:
    with pytest.raises(InputError) as caught:
        find(text)
    message = str(caught.value)
    assert "\n" not in message
    return message


def test_every_designation_finds_its_own_row() -> None:
    assert [p.designation for p in all_patterns() if find(p.designation) is not p] == []


@pytest.mark.parametrize("step", [pytest.param(1, marks=pytest.mark.slow), 25])
def test_every_designation_matches_its_own_row_alone(step: int) -> None:
    """Also word by word, without the shortcut for a text that is a designation."""
    for pattern in all_patterns()[::step]:
        answer = look_up(f"{pattern.designation} of")
        assert isinstance(answer, Found), pattern.designation
        assert answer.row is pattern


def test_case_and_spacing_of_a_designation_do_not_matter() -> None:
    for pattern in all_patterns()[::7]:
        assert find(f"  {pattern.designation.upper().replace(' ', '   ')} ") is pattern


@every_row(
    ("text", "designation"),
    [
        ("dn150 pn16", "EN 1092-1 PN16 DN150"),
        ("DN 150 PN 16", "EN 1092-1 PN16 DN150"),
        ("PN16/DN150", "EN 1092-1 PN16 DN150"),
        ("DN150PN16", "EN 1092-1 PN16 DN150"),
        ("en1092-1 pn 16 dn 150 flange", "EN 1092-1 PN16 DN150"),
        ("BS EN 1092-1 16 150", "EN 1092-1 PN16 DN150"),
        ('6" PN16', "EN 1092-1 PN16 DN150"),
        ("DIN 2501 DN65 PN16", "DIN 2501 PN16 DN65"),
        ("DN65 PN16 4 holes", "DIN 2501 PN16 DN65"),
        ("BS 4504 PN64 DN500", "BS 4504-1 PN64 DN500"),
        ('6" class 150', "ASME B16.5 Class 150 NPS 6"),
        ("6″ class 150", "ASME B16.5 Class 150 NPS 6"),
        ("6 class 150", "ASME B16.5 Class 150 NPS 6"),
        ("150# 6 in", "ASME B16.5 Class 150 NPS 6"),
        ("6in 150lb", "ASME B16.5 Class 150 NPS 6"),
        ('6" #150', "ASME B16.5 Class 150 NPS 6"),
        ('6" 150 RF', "ASME B16.5 Class 150 NPS 6"),
        ("ANSI 150 6 inch", "ASME B16.5 Class 150 NPS 6"),
        ("class 150 DN150", "ASME B16.5 Class 150 NPS 6"),
        ("NPS 8 CL300", "ASME B16.5 Class 300 NPS 8"),
        ("B16.5 150 8", "ASME B16.5 Class 150 NPS 8"),
        ("1-1/4 in class 150", "ASME B16.5 Class 150 NPS 1 1/4"),
        ("1¼ in class 150", "ASME B16.5 Class 150 NPS 1 1/4"),
        ("2.5 in 150#", "ASME B16.5 Class 150 NPS 2 1/2"),
        ("B16.5 300 1½", "ASME B16.5 Class 300 NPS 1 1/2"),
        ("B16.5 150 1/2", "ASME B16.5 Class 150 NPS 1/2"),
        ("8 inch class 125", "ASME B16.1 Class 125 NPS 8"),
        ("B16.47A 150 30", "ASME B16.47 Series A Class 150 NPS 30"),
        ("NPS 30 class 150 series b", "ASME B16.47 Series B Class 150 NPS 30"),
        ("C207 class D 6", "AWWA C207 Class D NPS 6"),
        ("JIS 10K 100A", "JIS B 2220 10K 100A"),
        ("JIS10K100A", "JIS B 2220 10K 100A"),
        ("10k 4 in", "JIS B 2220 10K 100A"),
        ("AS 2129 table E DN150", "AS 2129 Table E DN150"),
        ("AS2129 E 150", "AS 2129 Table E DN150"),
        ('BS10 table E 6"', "BS 10 Table E DN150"),
        ("DN100 CF", "ISO 3669 CF DN100"),
        ("ISO-F 100", "ISO 1609 ISO-F DN100"),
        ("FF215", "IEC 60072-1 FF215"),
        ("ff 215 motor flange", "IEC 60072-1 FF215"),
        ("145TC", "NEMA MG 1 C-face 143TC, 145TC"),
        ("182TC", "NEMA MG 1 C-face 182TC, 184TC"),
        ("P-base 16.5", "NEMA MG 1 P-base BD 16.5"),
        ("ISO 5211 F10", "ISO 5211 F10"),
        ("iso5211 f7", "ISO 5211 F07"),
        ("ISO 9409 50-4-M6", "ISO 9409-1-50-4-M6"),
        ("SAE J617 1/2", "SAE J617 No. 1/2"),
        ("J617 00", "SAE J617 No. 00"),
        ("SAE J620 11-1/2", "SAE J620 11.5"),
        ("101-2", "SAE J744 101-2 B"),
        ("J744 B 2-bolt", "SAE J744 101-2 B"),
        ("5x114.3", "wheel hub 5x114.3"),
        ("5 × 114.3 mm PCD", "wheel hub 5x114.3"),
        ("114.3x5", "wheel hub 5x114.3"),
        ("hub 5-114.3", "wheel hub 5x114.3"),
        ("5x4.5", "wheel hub 5x114.3"),
        ("5x4.75 in", "wheel hub 5x120.7"),
        ("chain-ring 130 BCD", "chainring 5x130"),
    ],
)
def test_designations_as_people_write_them(text: str, designation: str) -> None:
    assert find(text).designation == designation


@every_row(
    ("text", "choices"),
    [
        ("class 150 NPS 30", ["ASME B16.47 Series A Class 150 NPS 30", "ASME B16.47 Series B Class 150 NPS 30"]),
        ("6 in table E", ["AS 2129 Table E DN150", "BS 10 Table E DN150"]),
        ("SAE B", ["SAE J744 101-2 B", "SAE J744 101-4 B"]),
        ("DN200 PN10/16", ["EN 1092-1 PN10 DN200", "EN 1092-1 PN16 DN200"]),
        ("5x110", ["chainring 5x110", "wheel hub 5x110"]),
        ("SAE J744 B", ["SAE J744 101-2 B", "SAE J744 101-4 B"]),
        ("EN 1092-1 40 100", ["EN 1092-1 PN40 DN100", "EN 1092-1 PN100 DN40"]),
    ],
)
def test_ambiguous_text_lists_the_choices(text: str, choices: list[str]) -> None:
    assert error_of(text) == f'standard: "{text}" fits {" or ".join(choices)}; write the one you mean'


def test_a_count_and_a_size_alone_are_asked_about_and_mm_are_no_inches() -> None:
    assert "the sizes of ISO 6162-1 DN127; write the one you mean" in error_of("5 in 4 stud")
    assert "write the one you mean" in error_of("4 stud in 5 mm")
    assert "write the one you mean" in error_of("8 lug in 10")
    assert "write the one you mean" in error_of("24 bolts #150")
    assert "is in no table" in error_of("125 mm 65 NB")
    assert "is in no table" in error_of("4 stud on 104 PCD")  # a spider's circle, and studs are of a wheel
    assert "is in no table" in error_of("Felge 65 NB PN 110")
    assert "is in no table" in error_of("6 mm class 150")
    assert "is in no table" in error_of("16 mm 8 holes")  # SAE J620 size 16 is in inches
    assert find("150 mm class 150").designation == "ASME B16.5 Class 150 NPS 6"


def test_a_long_list_of_choices_is_cut_short() -> None:
    message = error_of("EN 1092-1 PN16")
    assert message.startswith('standard: "EN 1092-1 PN16" fits EN 1092-1 PN16 DN10, EN 1092-1 PN16 DN15, ')
    assert message.endswith(" and 23 more; write the one you mean")


@every_row(
    ("text", "nearest"),
    [
        ("EN 1092-1 PN16 DN160", "EN 1092-1 PN16 DN150"),
        ("pn12 dn150", "EN 1092-1 PN10 DN150"),
        ("5x111", "wheel hub 5x112"),
        ("ISO-K 100", "DN100"),
        ("B16.5 class 150 NPS 7", "ASME B16.5 Class 150 NPS 8"),
        ("FF210", "IEC 60072-1 FF215"),
    ],
)
def test_unknown_text_suggests_the_nearest(text: str, nearest: str) -> None:
    message = error_of(text)
    assert message.startswith(f'standard: "{text}" is in no table; the nearest: ')
    assert nearest in message


def test_text_like_nothing_names_what_no_table_knows() -> None:
    cure = 'write standard and size as in "EN 1092-1 PN16 DN150", or circle, holes and bolt each by itself'
    assert error_of("zzzz") == f'standard: "zzzz" is in no table; no table knows zzzz; {cure}'


@every_row("text", ["", "   ", "x" * 200])
def test_empty_or_endless_text_is_refused(text: str) -> None:
    assert "write for example" in error_of(text)


def test_the_error_names_the_key_it_was_read_from() -> None:
    with pytest.raises(InputError, match=r"^plate\.standard: "):
        find("DN160 PN16", where="plate.standard")


@pytest.mark.slow
@settings(max_examples=40)
@given(st.text(max_size=40) | st.text('0123456789 dnpxafk/-.#"', max_size=25))
def test_no_text_breaks_the_look_up(text: str) -> None:
    try:
        found = find(text).designation
    except InputError as error:
        found = str(error)
    assert "\n" not in found
    assert found.startswith("standard: ") or any(found == pattern.designation for pattern in all_patterns())


def test_matching_needs_every_word() -> None:
    assert {p.standard for p in matching("table e dn150")} == {"AS 2129", "BS 10"}
    assert matching("") == ()
    assert matching("table e dn150 banana") == ()


def test_search_without_filters_is_everything() -> None:
    assert search() == all_patterns()


def test_search_filters_add_up() -> None:
    """240 mm with 8 holes is DN150 PN10/16 (EN 1092-1) among others; 241.3 mm is NPS 6 Class 150."""
    found = search(hole_count=8, diameter_between=(239.9, 240.1))
    assert {"EN 1092-1 PN10 DN150", "EN 1092-1 PN16 DN150"} <= {p.designation for p in found}
    assert {p.bolt_circle for p in found} == {240.0}
    assert {p.hole_count for p in found} == {8}
    assert search("EN 1092-1", hole_count=8, diameter_between=(239, 241), family="Pipe") == tuple(
        p for p in found if p.standard == "EN 1092-1"
    )
    assert search("EN 1092-1", family="motor") == ()


def test_a_family_is_found_by_part_of_its_name() -> None:
    assert {p.standard for p in search(family="motor")} == {"IEC 60072-1", "NEMA MG 1"}
    assert {p.family for p in search("actuator")} == {Family.VALVE_ACTUATOR}


def test_a_word_may_be_cut_short() -> None:
    assert set(search("chainr")) == set(search(family="chainring"))


@every_row(
    ("text", "designation", "without"),
    [
        ('6" 150# WN RF', "ASME B16.5 Class 150 NPS 6", ("WN", "RF")),
        ("Blindflansch DN100 PN16", "EN 1092-1 PN16 DN100", ("BLINDFLANSCH",)),
        ('2" cl300 sch 40 A105', "ASME B16.5 Class 300 NPS 2", ("SCH 40", "A105")),
        ("EN 1092-1 type 11 DN150 PN16", "EN 1092-1 PN16 DN150", ("TYPE 11",)),
        ("brida 4 pulgadas clase 150", "ASME B16.5 Class 150 NPS 4", ("BRIDA",)),
        ("bride 4 pouces classe 150", "ASME B16.5 Class 150 NPS 4", ("BRIDE",)),
        ("DN150 PN16", "EN 1092-1 PN16 DN150", ()),
    ],
)
def test_words_that_do_not_change_the_drilling_are_left_out_and_told(
    text: str, designation: str, without: tuple[str, ...]
) -> None:
    answer = look_up(text)
    assert isinstance(answer, Found)
    assert (answer.row.designation, answer.reading.without) == (designation, without)


@every_row(
    ("text", "designation", "corrections"),
    [
        ("AMSE B16.5 150 6", "ASME B16.5 Class 150 NPS 6", {("amse", "asme")}),
        ("EN 1029-1 PN16 DN150", "EN 1092-1 PN16 DN150", {("1029-1", "1092-1")}),
        ("PN1 6 DN150", "EN 1092-1 PN16 DN150", {("pn1 6", "pn16")}),
    ],
)
def test_a_slip_of_the_pen_is_put_right_and_told(
    text: str, designation: str, corrections: set[tuple[str, str]]
) -> None:
    answer = look_up(text)
    assert isinstance(answer, Found)
    assert answer.row.designation == designation
    assert {(each.written, each.read_as) for each in answer.reading.corrections} == corrections


@every_row(
    ("text", "designation", "alias"),
    [
        ("DIN 2633 DN150", "EN 1092-1 PN16 DN150", "DIN 2633"),
        ("DIN 2576 DN200", "EN 1092-1 PN10 DN200", "DIN 2576"),
        ("SABS 1123 table 1000 DN200", "EN 1092-1 PN10 DN200", "SABS 1123 table 1000"),
        ("KS B 1503 10K 100A", "JIS B 2220 10K 100A", "KS B1503"),
        ('API 605 30" 300#', "ASME B16.47 Series B Class 300 NPS 30", "API 605"),
        ("DIN 42948 A250", "IEC 60072-1 FF215", "DIN 42948 A250"),
    ],
)
def test_another_name_is_followed_with_its_note(text: str, designation: str, alias: str) -> None:
    answer = look_up(text)
    assert isinstance(answer, Found)
    assert answer.row.designation == designation
    assert [each.name for each in answer.reading.aliases] == [alias]


def test_a_name_that_no_table_holds_is_refused_and_a_doubtful_one_asked_about() -> None:
    missed = look_up("GOST 12820 DN100 PN16")
    assert isinstance(missed, Missed)
    assert "GOST 12815" in missed.reading.aliases[0].note
    asked = look_up("ISO PN 150 DN100")
    assert isinstance(asked, Asked)
    assert asked.why is Why.DOUBTFUL_NAME
    assert [row.designation for row in asked.rows] == ["ASME B16.5 Class 900 NPS 4"]


def test_an_older_issue_with_another_count_is_asked_about() -> None:
    """DN65 PN16: 8 holes in EN 1092-1, 4 in DIN 2501, unless the issue or the count is said."""
    for text in ("DN65 PN16", "DIN DN65 PN16", "BS 4504 PN16 DN65"):
        answer = look_up(text)
        assert isinstance(answer, Asked)
        assert answer.why is Why.OLDER_ISSUE
        assert [row.hole_count for row in answer.rows] == [8, 4]
    assert find("EN 1092-1 DN65 PN16").hole_count == 8
    assert find("DIN 2501 DN65 PN16").hole_count == 4


@every_row(
    ("text", "flanges"),
    [
        ("IEC 100 B5", ["FF215"]),
        ("63 B14", ["FT75"]),
        ("90L B5", ["FF165"]),
        ("IEC 132 B14 large", ["FT215"]),
        ("A140 B5", ["FF115"]),
        ("80 B35", ["FF165"]),
        ("IEC 100", ["FF100", "FF215", "FT100", "FT130", "FT165"]),
        ("IEC 90", ["FF165", "FT115", "FT130"]),
    ],
)
def test_a_motor_frame_is_no_flange_number(text: str, flanges: list[str]) -> None:
    """Pairings of EN 50347 and catalogs, from memory; the number on the motor decides."""
    answer = look_up(text)
    rows = answer.rows if isinstance(answer, Asked) else (answer.row,) if isinstance(answer, Found) else ()
    assert [row.size for row in rows] == flanges


def test_frames_are_paired_from_memory_and_say_so() -> None:
    answer = look_up("IEC 63 B14")
    assert isinstance(answer, Found)
    assert [pairing.confidence for pairing in answer.reading.pairings] == [Confidence.MEMORY]


@every_row("text", ["8x240", "240 PCD 8x22", "8 holes on 240 pcd", "8 x 22 on 240 mm"])
def test_sizes_that_are_no_designation_name_the_rows_that_have_them(text: str) -> None:
    answer = look_up(text)
    assert isinstance(answer, Asked)
    assert answer.why is Why.BY_SIZES
    assert {"EN 1092-1 PN10 DN150", "EN 1092-1 PN16 DN150"} <= {row.designation for row in answer.rows}
    assert {(row.hole_count, row.bolt_circle) for row in answer.rows} == {(8, 240.0)}


def test_a_miss_offers_rows_of_the_family_that_was_asked_for() -> None:
    for text, family in (("IEC FF210", Family.MOTOR_FLANGE), ("SAE J617 7", Family.FLYWHEEL_HOUSING)):
        answer = look_up(text)
        assert isinstance(answer, Missed)
        assert answer.nearest
        assert {row.family for row in answer.nearest} == {family}


def test_a_text_is_looked_up_in_20_ms() -> None:
    texts = ['6" 150# WN RF', "dn160 pn16", "8x240", "IEC 90 B5", "5x111", "hello world"]
    for text in texts:
        look_up(text)
    best = min(timed(texts) for _ in range(5))
    assert best / len(texts) < 0.020


def timed(texts: list[str]) -> float:
    start = process_time()
    for text in texts:
        look_up(text)
    return process_time() - start
