"""The bills of several jobs together: things alike add up, a joint of two of them is counted once."""

from pathlib import Path
from typing import Any

from flangelayout.batch.bill import joined_circles, ordered
from flangelayout.job import Job
from flangelayout.job.load import job_from_data, load_job
from jobs import job_data, toml_text

RING = {"standard": "EN 1092-1 PN16 DN150"}
PLATE = {"outside_diameter": 285, "thickness": 22, "material": "carbon steel"}


def counts(*jobs: Job) -> dict[str, int]:
    return {each.row.part.split(",")[0]: each.total for each in ordered(jobs)}


def plain(number: str, quantity: int = 1, **plate: Any) -> Job:  # noqa: ANN401 - keys of any kind
    job = {"number": number, "quantity": quantity}
    return job_from_data(job_data(job=job, plate=PLATE | plate, bolt_circle=[RING]))


def test_alike_things_add_up_with_their_quantities() -> None:
    found = {
        (each.row.part, each.row.size): (each.total, each.jobs) for each in ordered([plain("A", 2), plain("B", 3)])
    }
    assert found["plate, carbon steel", "⌀285 × 22"] == (5, ("A", "B"))
    assert found["hexagon nut", "M20"] == (40, ("A", "B"))
    assert found["washer", "for M20"] == (80, ("A", "B"))


def test_a_ring_and_the_blind_it_names_take_one_set_of_bolts(tmp_path: Path) -> None:
    (tmp_path / "blind.toml").write_text(
        toml_text(job_data(job={"number": "BL"}, plate=PLATE, bolt_circle=[RING])), encoding="utf-8"
    )
    ring = tmp_path / "ring.toml"
    keys = job_data(
        job={"number": "RG"}, plate=PLATE | {"bore": 170.5}, bolt_circle=[RING], mate=[{"job": "blind.toml"}]
    )
    ring.write_text(toml_text(keys), encoding="utf-8")
    pair = [load_job(ring), load_job(tmp_path / "blind.toml")]
    assert joined_circles(pair) == (frozenset(), frozenset({0}))
    assert counts(*pair) == {"plate": 2, "hexagon bolt": 8, "hexagon nut": 8, "washer": 16, "gasket": 1}
    assert counts(*reversed(pair)) == counts(*pair)
    assert counts(pair[1])["hexagon bolt"] == 8


def test_sizes_in_millimeters_and_in_inches_are_told_apart() -> None:
    """EN 1092-1 PN16 DN150 takes M20 bolts, ASME B16.5 Class 150 NPS 6 bolts of 3/4 in."""
    plate = {"outside_diameter": 11, "thickness": 1}
    inch = job_data(
        job={"number": "I"}, units="in", plate=plate, bolt_circle=[{"standard": "ASME B16.5 Class 150 NPS 6"}]
    )
    units = {
        (each.row.part.split(",")[0], each.row.size): each.unit for each in ordered([plain("A"), job_from_data(inch)])
    }
    assert units["plate", "⌀285 × 22"] == "mm"
    assert units["plate", "⌀11 X 1"] == "in"
    assert (units["hexagon nut", "M20"], units["hexagon nut", "3/4"]) == ("", "in")
