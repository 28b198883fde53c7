"""Two circles of holes on one plate: what a dividing head or a rotary table is set to for the second one."""

from pathlib import Path

from truth.outside import command, job_file, says

HEAD = 'units = "mm"\n[job]\nnumber = "MB-231"\n'


def test_two_rings_of_holes_tell_the_turn_between_their_lists(tmp_path: Path) -> None:
    # 8 on 240 and 8 on 180 turned 22.5 degrees: both lists may not start at 0 with no word of it.
    text = (
        f"{HEAD}[plate]\noutside_diameter = 285\nbore = 100\nthickness = 20\n"
        "[[bolt_circle]]\ndiameter = 240\nhole_count = 8\nhole_diameter = 22\n"
        "[[bolt_circle]]\ndiameter = 180\nhole_count = 8\nhole_diameter = 14\nstart_angle = 22.5\n"
        '[machine]\nhead = "40:1"\n'
    )
    text = text.partition("[machine]")[0]
    ran = command(tmp_path, "machine", job_file(tmp_path, text), "--show", "rotary")
    assert ran.code == 0, ran.err
    lines = ran.out.splitlines()
    second = next(n for n, line in enumerate(lines) if "B1" in line or "circle B" in line)
    near = " ".join(lines[second - 2 : second + 6])
    assert says(near, "22.5") or "22°30" in near or "22 30" in near or "22° 30" in near, ran.out
