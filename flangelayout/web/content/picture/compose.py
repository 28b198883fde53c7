"""The one picture of the flange: what is known, asked, read, wrong and drilled, written where it is on the steel."""

from msgspec import Struct

from flangelayout.checks import Finding
from flangelayout.errors import FlangeLayoutError
from flangelayout.flange import Flange
from flangelayout.survey import Survey
from flangelayout.survey.kinds import Kind
from flangelayout.survey.readings import Reading
from flangelayout.units import parse_length
from flangelayout.value import replace
from flangelayout.web.content.findings import CheckLine, FindingMark, marks_of
from flangelayout.web.content.picture.jaws import chord_drawn, readings_drawn
from flangelayout.web.content.picture.labels import Stroke, Tag, size_labels
from flangelayout.web.content.picture.scene import DrawnHole, Scene, scene_of_flange, scene_of_sizes
from flangelayout.web.content.picture.sizes import PictureSizes
from flangelayout.web.form.state import Stage, State

Items = tuple[tuple[CheckLine, Finding | None], ...]
_MEASURED = (Stage.MEASURE, Stage.DECIDE)
_NUMBERED = 60
_LEAST_NUMBERED = 6.5


class FlangePicture(Struct, frozen=True):
    """Everything the template needs to draw it.

    Attributes:
        scene: The flange.
        tags: Labels.
        lines: Lines that lead to them.
        marks: Numbers of what is to fix or to look at.
        picked: Numbers of the holes that the reading being written is between.
        bad: Labels of holes that something is to fix about.
        asks: Kinds of rim and bore that the next reading is of.
        counter: How many holes, where they are counted on the picture; 0 elsewhere.
        said: What is seen, in a sentence.
    """

    scene: Scene
    tags: tuple[Tag, ...]
    lines: tuple[Stroke, ...]
    marks: tuple[FindingMark, ...] = ()
    picked: tuple[int, ...] = ()
    bad: frozenset[str] = frozenset()
    asks: str = ""
    counter: int = 0
    said: str = ""

    @property
    def top(self) -> int:
        """Upper edge of what is seen: room for the numbers round it, for labels at its corners, or for neither."""
        return -164 if self.marks else -144 if any(abs(tag.x) > 100 for tag in self.tags) else -128

    @property
    def high(self) -> int:
        """How much is seen from there down."""
        return 328 if self.marks else 162 - self.top

    def number_of(self, hole: DrawnHole) -> str:
        """What is written in a hole; empty where it has no room."""
        few = len(self.scene.holes) <= _NUMBERED and hole.r >= _LEAST_NUMBERED
        return hole.label if few and not self.marks else ""


def flange_picture(
    state: State,
    flange: Flange | None,
    sizes: PictureSizes,
    survey: Survey | None,
    items: Items,
    chords: tuple[tuple[Reading, bool], ...] = (),
) -> FlangePicture:
    """The picture for where one stands.

    Args:
        state: What stands in the fields.
        flange: What is made of it, as far as that can be said.
        sizes: What is known.
        survey: What the readings say.
        items: What is to fix and to look at.
        chords: Chords read on the finished part, and whether each is outside its limit.
    """
    scene = scene_of_flange(flange, state.show) if flange is not None else scene_of_sizes(sizes, state.show)
    if state.step in _MEASURED:
        return _measuring(scene, state, sizes, survey)
    if state.step is Stage.CHECK:
        return _checking(scene, flange, items)
    if state.step is Stage.DRILLED:
        return _drilled(scene, chords, state)
    tags, lines = size_labels(scene, sizes, state.edit)
    return FlangePicture(scene, tuple(tags), tuple(lines), bad=_bad(scene, items), said=_said(scene))


def _measuring(scene: Scene, state: State, sizes: PictureSizes, survey: Survey | None) -> FlangePicture:
    draft = draft_reading(state)
    drawn = draft if state.step is Stage.MEASURE else None
    taken = len(state.readings())
    tags, lines = readings_drawn(scene, survey, taken, drawn, state.show)
    kinds = {reading.kind for reading in (survey.readings[:taken] if survey else ())} | (
        {drawn.kind} if drawn else set()
    )
    places = [(Kind.OUTSIDE_DIAMETER, sizes.outside), (Kind.BORE, sizes.bore)]
    labels, leads = size_labels(scene, sizes, "", "pick")
    asked = {size.key for kind, size in places if kind not in kinds}
    for tag, lead in zip(labels, leads, strict=False):
        key = tag.do.partition(":")[2]
        if key in asked and scene.bore > 30 and (key != "plate.bore" or taken < 2):
            y = tag.y if key == "plate.outside_diameter" else 0.76 * scene.bore
            tags.append(replace(tag, y=y))
            if key == "plate.outside_diameter":
                lines.append(lead)
    picked = tuple(int(text) for text in (state.draft.from_, state.draft.to) if text.isdecimal() and len(text) < 5)
    count = int(sizes.circles[0].hole_count.value or 8)
    return FlangePicture(
        scene,
        tuple(tags),
        tuple(lines),
        picked=picked if drawn else (),
        asks={Kind.OUTSIDE_DIAMETER: "rim", Kind.BORE: "bore"}.get(drawn.kind, "") if drawn else "",
        counter=count,
        said=_said(scene, picked),
    )


def draft_reading(state: State) -> Reading:
    """The reading being written; its value is 0 where there is none yet."""
    draft = state.draft
    kind = next((kind for kind in Kind if kind.value == draft.kind), Kind.CENTERS)
    try:
        value = parse_length(draft.value, state.unit) if draft.value.strip() else 0.0
    except (FlangeLayoutError, OverflowError):
        value = 0.0
    first, second = (int(text) if text.isdecimal() and 0 < len(text) < 4 else None for text in (draft.from_, draft.to))
    return Reading(kind, value, first or None, second or None)


def _checking(scene: Scene, flange: Flange | None, items: Items) -> FlangePicture:
    marks = marks_of(scene, flange, items)
    return FlangePicture(scene, (), (), marks=tuple(marks), bad=_bad(scene, items), said=_said(scene))


def _drilled(scene: Scene, chords: tuple[tuple[Reading, bool], ...], state: State) -> FlangePicture:
    tags: list[Tag] = []
    lines: list[Stroke] = []
    for reading, out in chords:
        more_tags, more_lines = chord_drawn(scene, reading, out, state.show)
        tags += more_tags
        lines += more_lines
    return FlangePicture(scene, tuple(tags), tuple(lines), said=_said(scene))


def _bad(scene: Scene, items: Items) -> frozenset[str]:
    """Labels of the holes that something is to fix about."""
    failed = [finding.place.holes for _, finding in items if finding is not None and finding.failed]
    wanted = {(each.group + 1, each.number) for holes in failed for each in holes}
    return frozenset(hole.label for hole in scene.holes if (hole.circle, hole.number) in wanted)


def _said(scene: Scene, picked: tuple[int, ...] = ()) -> str:
    count = len(scene.holes)
    said = f"The flange with {count} {'hole' if count == 1 else 'holes'}"
    if len(picked) == 2:
        said += f"; holes {picked[0]} and {picked[1]} picked"
    return said
