"""What the buttons do."""

from flangelayout.survey.kinds import Kind
from flangelayout.web.form.address import read_address
from flangelayout.web.form.state import Draft, Stage, State, job_tables
from flangelayout.web.serving.actions import apply
from web.served import query

SURVEY = {"survey.hole_count": "8", "n.value": "91.7", "step": "measure"}


def state(fields: dict[str, str]) -> State:
    return read_address(query(fields))[0]


def test_an_added_reading_sets_the_caliper_to_the_one_that_tells_most() -> None:
    taken, focus = apply(state({**SURVEY, "n.kind": "same-edges", "n.from": "1", "n.to": "2"}), "add")
    assert taken.readings() == [{"kind": "same-edges", "from": 1, "to": 2, "value": 91.7}]
    assert taken.draft == Draft("outside-diameter")
    assert focus == "n-value"


def test_a_reading_that_cannot_be_read_is_not_added() -> None:
    for value in ("", "abc", "-5", "nan"):
        before = state({**SURVEY, "n.value": value})
        assert apply(before, "add")[0] == before


def test_a_reading_can_be_redone_and_deleted() -> None:
    one, _ = apply(state(SURVEY), "add")
    assert one.readings() == [{"kind": "centers", "value": 91.7}]
    changing, _ = apply(one, "redo:1")
    assert (changing.readings(), changing.draft) == ([], Draft("centers", value="91.7"))
    assert apply(one, "delete:1")[0].readings() == []
    for odd in ("redo:0", "redo:9", "delete:x", "delete:", "redo:-1"):
        assert apply(one, odd)[0] == one


def test_holes_that_a_kind_does_not_ask_for_are_left_out() -> None:
    outside = state({**SURVEY, "n.kind": "outside-diameter", "n.from": "1", "n.to": "2", "n.value": "285"})
    assert job_tables(outside)["survey"] == {"hole_count": 8, "reading": [{"kind": "outside-diameter", "value": 285}]}


def test_the_measured_circle_goes_on_the_flange_as_measured() -> None:
    used, focus = apply(state(SURVEY), "use:measured")
    assert job_tables(used)["bolt_circle"] == [{"diameter": "measured", "hole_count": 8}]
    assert (used.step, used.edit, focus) == (Stage.FLANGE, "bolt_circle.1.hole_diameter", "bolt_circle-1-hole_diameter")
    assert apply(state({}), "use:measured")[0] == state({})


def test_a_published_drilling_goes_on_circle_and_plate_without_touching_what_is_written() -> None:
    used, _ = apply(state({"bolt_circle.1.diameter": "239", "bolt_circle.1.bolt": "M20"}), "use:EN 1092-1 PN16 DN150")
    assert job_tables(used)["bolt_circle"] == [{"standard": "EN 1092-1 PN16 DN150", "bolt": "M20"}]
    assert job_tables(used)["plate"] == {"standard": "EN 1092-1 PN16 DN150"}
    kept, _ = apply(state({"plate.outside_diameter": "300"}), "use:EN 1092-1 PN16 DN150")
    assert job_tables(kept)["plate"] == {"outside_diameter": 300}
    second, _ = apply(state({"bolt_circle.1.diameter": "300", "onto": "2"}), "use:dn150 pn16")
    assert job_tables(second)["bolt_circle"] == [{"diameter": 300}, {"standard": "EN 1092-1 PN16 DN150"}]
    assert apply(state({}), "use:<script>")[0] == state({})


def test_the_reading_asked_for_next_sets_the_caliper() -> None:
    asked, _ = apply(state(SURVEY), "next")
    assert asked.readings() == [{"kind": "centers", "value": 91.7}]
    assert asked.draft == Draft(Kind.OUTSIDE_DIAMETER.value)


def test_tables_are_added_and_taken_off() -> None:
    added, focus = apply(state({}), "more:bolt_circle")
    assert job_tables(added)["bolt_circle"] == [{}, {"name": "circle 2"}]
    assert (focus, added.onto) == ("find", 2)
    assert "bolt_circle" not in job_tables(apply(added, "less:bolt_circle.2")[0])
    hole, _ = apply(state({}), "more:hole")
    assert job_tables(hole)["hole"] == [{"name": "single hole 1"}]
    for odd in ("more:plate", "more:", "less:job.1", "less:hole", "unknown", "look"):
        assert apply(hole, odd)[0] == hole


def test_return_adds_a_reading_and_does_nothing_else() -> None:
    assert apply(state(SURVEY), "enter")[0].readings() == [{"kind": "centers", "value": 91.7}]
    assert apply(state({}), "enter")[0] == state({})
