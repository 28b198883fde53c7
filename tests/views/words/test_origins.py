"""What sheet and console say of where a drilling comes from, letter by letter."""

import re

from flangelayout.flange import BoltCircle, Flange, RoundOutline, Slot, Tapped
from flangelayout.flange.origin import Figure, FromRow, LookedUp, Made, Measured, NearestOf, Origin
from flangelayout.provenance import Confidence
from flangelayout.standards import all_patterns, find, published_row
from flangelayout.units import Unit, to_mm
from flangelayout.value import replace
from flangelayout.views.words.origins import (
    claim_sentences,
    found_line,
    match_words,
    row_sources,
    size_sources,
    warnings,
)
from jobs import bolt_circle, flange
from rows import every_row

DN150 = published_row(find("EN 1092-1 PN16 DN150"))
PN10_DN100, PN16_DN100 = (published_row(find(f"EN 1092-1 PN{pn} DN100")) for pn in (10, 16))


def plate(*circles: BoltCircle) -> Flange:
    return Flange(RoundOutline(400.0), circles)


def test_what_two_sources_vouch_for_is_claimed_without_more_words() -> None:
    assert match_words([DN150]) == "Drilled to match EN 1092-1 PN16 DN150"


def test_the_sources_of_a_drilling_that_is_met_are_told_with_how_well_they_vouch_for_it() -> None:
    met = bolt_circle(origin=FromRow(DN150))
    said = "EN 1092-1 PN16 DN150: mining pipe handbook printing BS 4504-1:1969, two sources agree"
    assert list(row_sources(met)) == [said]
    assert not list(row_sources(bolt_circle(6, 235.0, origin=FromRow(DN150))))


def test_one_source_memory_and_a_known_edition_are_said_to_be_so() -> None:
    one = next(row for row in all_patterns() if row.confidence is Confidence.ONE_SOURCE)
    assert match_words([published_row(one)]).endswith(" (figures from one source only: check them before cutting)")
    words = match_words([published_row(find("ISO 5211 F10"))])
    assert words == (
        "Drilled to match ISO 5211 F10 (figures not verified: compare them with the standard before cutting)"
    )
    edition = match_words([published_row(find("BS 10 Table E DN150"))])
    assert edition.startswith("Drilled to match BS 10 Table E DN150 (edition 1962)")


def test_no_claim_is_one_of_a_rating_and_every_memory_row_warns() -> None:
    """ASME B16.5 allows plate only for blinds and hubless reducers: a drilled plate matches, it is not rated."""
    for pattern in all_patterns():
        words = match_words([published_row(pattern)])
        assert words.startswith(f"Drilled to match {pattern.designation}")
        assert not re.search(r"rated|rating|approved|complies|conforms", words, re.IGNORECASE)
        warned = "not verified: compare them with the standard before cutting" in words
        assert warned == (pattern.confidence is Confidence.MEMORY)


def test_a_standard_is_claimed_when_it_is_met_and_denied_when_it_is_not() -> None:
    met = bolt_circle(origin=FromRow(DN150))
    assert next(iter(claim_sentences(met, Unit.MM))).startswith("Drilled to match EN 1092-1 PN16 DN150")
    assert warnings(plate(met), Unit.MM) == ()
    other = bolt_circle(6, 235.0, origin=FromRow(DN150))
    assert not any("match" in sentence for sentence in claim_sentences(other, Unit.MM))
    assert warnings(plate(other), Unit.MM) == (
        "Bolt circle: NOT AS EN 1092-1 PN16 DN150: bolt circle 235 (240), 6 holes (8)",
    )


def test_a_difference_that_is_meant_is_printed_as_such_and_warns_of_nothing() -> None:
    meant = FromRow(DN150, frozenset({Figure.CIRCLE}))
    circle = bolt_circle(8, 235.0, origin=meant)
    assert list(claim_sentences(circle, Unit.MM)) == [
        "DIFFERS FROM EN 1092-1 PN16 DN150 AS INTENDED: bolt circle 235 (240)"
    ]
    assert warnings(plate(circle), Unit.MM) == ()
    both = bolt_circle(6, 235.0, origin=meant)
    assert warnings(plate(both), Unit.MM) == ("Bolt circle: NOT AS EN 1092-1 PN16 DN150: 6 holes (8)",)


def test_a_difference_is_told_in_the_unit_of_the_job_and_to_as_many_places_as_it_takes() -> None:
    row = published_row(find("ASME B16.5 Class 150 NPS 8"))  # 11 3/4 in, 8 holes of 7/8 in (ASME B16.5 Table 7)
    circle = BoltCircle(to_mm(11.5, Unit.IN), 8, to_mm(0.875, Unit.IN), origin=FromRow(row))
    assert warnings(plate(circle), Unit.IN) == (
        "Bolt circle: NOT AS ASME B16.5 Class 150 NPS 8: bolt circle 11 1/2 (11 3/4)",
    )
    near = replace(circle, diameter=to_mm(11.75, Unit.IN) + 0.006)
    assert warnings(plate(near), Unit.IN)[0].endswith("bolt circle 11.7502 (11.7500)")


@every_row(
    ("circle", "words"),
    [
        (bolt_circle(hole_diameter=26.0, origin=FromRow(DN150)), "hole 26 (22)"),
        (bolt_circle(hole_diameter=14.0, kind=Tapped("M16", 16.0), origin=FromRow(DN150)), "thread for 16 (20)"),
        (bolt_circle(kind=Slot(40.0), origin=FromRow(DN150)), "slots (round holes)"),
        (bolt_circle(skipped=(1,), origin=FromRow(DN150)), "1 place not drilled"),
        (bolt_circle(pair_angle=40.0, origin=FromRow(DN150)), "neighbors 82.08 apart (91.84)"),
    ],
)
def test_each_kind_of_difference_has_its_words(circle: BoltCircle, words: str) -> None:
    # Pairs 40 degrees wide are 240 sin 20 = 82.08 and 240 sin 25 = 101.43 apart; the farther from 91.84 is told.
    assert warnings(plate(circle), Unit.MM) == (f"Bolt circle: NOT AS EN 1092-1 PN16 DN150: {words}",)


def test_a_thread_for_the_bolts_of_a_row_is_tapped_to_match_it() -> None:
    tapped = bolt_circle(hole_diameter=17.5, kind=Tapped("M20", 20.0), origin=FromRow(DN150))
    assert next(iter(claim_sentences(tapped, Unit.MM))).startswith("Tapped to match EN 1092-1 PN16 DN150")


@every_row(
    ("origin", "words"),
    [
        (Measured(240.0, 0.12), ["Measured 240.00 ± 0.12 mm (95 %)"]),
        (
            Measured(240.0, None),
            ["Measured 240.00 mm; the readings contradict each other, so no band holds"],
        ),
        (Measured(238.0, 0.12), []),
    ],
)
def test_a_measured_circle_says_its_band_only_where_one_holds(origin: Origin, words: list[str]) -> None:
    assert list(claim_sentences(bolt_circle(origin=origin), Unit.MM)) == words


def test_where_rows_tie_all_are_named() -> None:
    found = Measured(180.07, 0.12)
    circle = bolt_circle(8, 180.0, 18.0, origin=NearestOf((PN10_DN100, PN16_DN100), found))
    sentences = list(claim_sentences(circle, Unit.MM))
    assert "EN 1092-1 PN10 DN100" in sentences[0]
    assert "EN 1092-1 PN16 DN100" in sentences[0]
    assert sentences[1] == "The one drilling that the readings fit: measured 180.07 ± 0.12 mm (95 %)"
    assert found_line(plate(circle), Unit.MM) == (
        "8 holes of 18 on 180 mm as EN 1092-1 PN10 DN100 and EN 1092-1 PN16 DN100; measured 180.07 ± 0.12 mm"
    )
    pictured = replace(circle, origin=NearestOf((PN10_DN100,), replace(found, off_a_picture=True)))
    assert list(claim_sentences(pictured, Unit.MM))[1].endswith(
        "(95 %); read off a picture or print, not yet tried on real flanges; the caliper decides"
    )
    aside = replace(circle, origin=NearestOf((PN10_DN100, PN16_DN100), replace(found, set_aside=1)))
    assert found_line(plate(aside), Unit.MM).endswith("; measured 180.07 ± 0.12 mm; 1 reading set aside")
    wide = replace(circle, drilling=replace(circle.drilling, diameter=19.0))
    assert found_line(plate(wide), Unit.MM) == "8 holes of 19 on 180 mm; measured 180.07 ± 0.12 mm"
    assert warnings(plate(wide), Unit.MM) == ("Bolt circle: NOT AS EN 1092-1 PN10 DN100: hole 19 (18)",)


def test_nothing_is_found_of_a_written_circle() -> None:
    assert found_line(flange(), Unit.MM) == ""


def test_every_looked_up_size_names_its_table() -> None:
    found = LookedUp(
        Made.CLEARANCE_HOLE, to_mm(13 / 16, Unit.IN), "3/4", "ASME B18.2.8", Confidence.MEMORY, True, "normal"
    )
    circle = bolt_circle(hole_diameter=found.value, looked_up=(found,))
    assert list(size_sources(circle.drilling)) == [
        "Hole 13/16 in for 3/4 in: ASME B18.2.8 normal; not verified: compare before cutting"
    ]
    drill = LookedUp(Made.TAP_DRILL, 17.5, "M20", "ISO 2306", Confidence.ONE_SOURCE)
    tapped = bolt_circle(hole_diameter=17.5, kind=Tapped("M20", 20.0), looked_up=(drill,))
    assert list(size_sources(tapped.drilling)) == ["Tap drill 17.5 mm for M20: ISO 2306; one source only"]
