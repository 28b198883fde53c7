"""Dimensions of a picture lead to their fields by what they refer to, in whatever words they are written."""

from dataclasses import replace

from flangelayout.drawing.model import DiameterDimension, Item, Leader, LinearDimension, Sheet
from flangelayout.drawing.references import Feature
from flangelayout.flange import Flange
from flangelayout.job.load import job_from_text
from flangelayout.packet.job import layout_pages
from flangelayout.web.content.targets import _FIELDS, field_spots

JOB = """
[plate]
outside_diameter = 285
bore = 170
thickness = 22
raised_face_diameter = 212
raised_face_height = 3
bore_chamfer = 2
[[bolt_circle]]
diameter = 240
hole_count = 8
hole_diameter = 22
[[bolt_circle]]
diameter = 195
hole_count = 4
hole_diameter = 8
"""


def shown() -> tuple[Flange, Sheet]:
    job = job_from_text(JOB)
    return job.flange, layout_pages(job).sheets[0]


def reworded(item: Item) -> Item:
    """The item with every word of it in another language."""
    match item.what:
        case LinearDimension() | DiameterDimension():
            return replace(item, what=replace(item.what, said="Bohrung"))
        case Leader():
            return replace(item, what=replace(item.what, text=("Bohrung",)))
        case _:
            return item


def keys(flange: Flange, sheet: Sheet) -> list[str]:
    return [spot.key for spot in field_spots(flange, sheet)]


def test_the_dimensions_of_a_sheet_lead_to_their_fields() -> None:
    found = keys(*shown())
    assert {"plate.bore", "plate.raised_face_diameter", "plate.thickness", "plate.raised_face_height"} <= set(found)
    assert {"plate.outside_diameter", "bolt_circle.1.diameter", "bolt_circle.2.diameter"} <= set(found)


def test_they_lead_there_whatever_the_words_say() -> None:
    flange, sheet = shown()
    view = sheet.views[0]
    drawing = replace(view.drawing, items=tuple(map(reworded, view.drawing.items)))
    translated = replace(sheet, views=(replace(view, drawing=drawing), *sheet.views[1:]))
    assert keys(flange, translated) == keys(flange, sheet)


def test_every_feature_has_a_field_of_the_job_file() -> None:
    from flangelayout.job.schema.job_file import BoltCircleTable
    from flangelayout.job.schema.plate import PlateTable

    assert set(_FIELDS) <= set(Feature)
    fields = [f"plate.{name}" for name in PlateTable.model_fields]
    fields += [f"bolt_circle.1.{name}" for name in BoltCircleTable.model_fields]
    assert set(_FIELDS.values()) <= set(fields)
