"""The table of kinds: every kind has its row, and every room follows it."""

from flangelayout.cli.measuring.measure import measure_command
from flangelayout.survey.kinds import CHORD_KINDS, KINDS, POSITION_KINDS, RADIAL_KINDS, SINGLE_SIZES, Jaws, Kind, Span
from survey.synthetic import CHORDS


def test_every_kind_has_one_row() -> None:
    assert set(KINDS) == set(Kind)
    assert set(Kind) == CHORD_KINDS | POSITION_KINDS | RADIAL_KINDS | SINGLE_SIZES
    assert len(CHORD_KINDS) + len(POSITION_KINDS) + len(RADIAL_KINDS) + len(SINGLE_SIZES) == len(Kind)
    assert set(CHORDS) == CHORD_KINDS


def test_words_and_options_are_each_of_one_kind() -> None:
    words = [row.words for row in KINDS.values()]
    options = [row.option for row in KINDS.values() if row.option]
    assert len(set(words)) == len(words)
    assert len(set(options)) == len(options)
    assert all(row.help for row in KINDS.values())


def test_every_option_is_taken_by_the_command_line() -> None:
    options = {option for parameter in measure_command.params for option in parameter.opts}
    assert {f"--{row.option}" for row in KINDS.values() if row.option} <= options


def test_slips_go_both_ways_and_stay_among_chords() -> None:
    for kind, row in KINDS.items():
        assert kind not in row.mixed_with
        assert set(row.mixed_with) <= CHORD_KINDS
        if row.swapped_with is not None:
            assert KINDS[row.swapped_with].swapped_with is kind
            assert KINDS[row.swapped_with].shares.hole == -row.shares.hole
            assert KINDS[row.swapped_with].shares.stud == -row.shares.stud
            assert KINDS[row.swapped_with].jaws.value == -row.jaws.value


def test_usual_spans_and_doubts() -> None:
    for row in KINDS.values():
        assert (row.usual_pitches > 0) == (row.span is Span.TWO_HOLES)
        assert 0.2 <= row.within <= 0.5  # common practice, no source
    assert KINDS[Kind.STUD_TO_FAR_EDGE].usual_pitches == 2
    assert KINDS[Kind.NEAR_EDGES].jaws is Jaws.OUTSIDE
