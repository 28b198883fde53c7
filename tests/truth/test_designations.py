"""A designation is read as the trade means it, or asked about: no wrong hit that nobody notices."""

from pathlib import Path

from rows import every_row
from truth.outside import command, draw, says


@every_row("phrase", ["4-150", "3-150", "5-150", "4-150 RF", "4x150"])
def test_pipe_shorthand_is_no_wheel_hub_on_an_inch_plate(phrase: str, tmp_path: Path) -> None:
    text = (
        'units = "in"\n[job]\nnumber = "MB-203"\n[plate]\noutside_diameter = 9\nbore = 4.5\nthickness = 1\n'
        f'[[bolt_circle]]\nstandard = "{phrase}"\nhole_diameter = "3/4"\n'
    )
    drawn = draw(tmp_path, text)
    if drawn.code == 0:
        assert "wheel hub" not in drawn.sheet
        assert not phrase.startswith("4") or says(drawn.sheet, "7 1/2")  # 4 in class 150: 8 x 3/4 on 7 1/2
    else:
        assert drawn.code == 2
        assert not drawn.files


def test_a_frame_size_is_not_answered_with_the_flange_of_that_number() -> None:
    # IEC 60072-1: frame 100 has flange FF215 (B5); FF100 is another, smaller flange.
    told = command(Path("/nonexistent"), "standards", "IEC", "100", "B5")
    assert "FF100" not in told.said
    assert "FF215" in told.said or "frame" in told.said.lower()
    small = command(Path("/nonexistent"), "standards", "B14", "90")
    assert "NPS 90" not in small.said
