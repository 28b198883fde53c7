"""Jobs that are hard on a page: one hole and sixty, tiny and huge, crowded, machined, odd outlines, long words."""

from typing import Any

Data = dict[str, Any]
_STEEL = "carbon steel plate"


def _round(outside: float, bore: float | None, thickness: float | None, *circles: Data, **tables: Any) -> Data:  # noqa: ANN401
    sizes = {"outside_diameter": outside, "bore": bore, "thickness": thickness, "material": _STEEL}
    return {
        "plate": {key: size for key, size in sizes.items() if size is not None},
        "bolt_circle": [*circles],
        **tables,
    }


def _circle(diameter: float, count: int, hole: float | None = None, **more: Any) -> Data:  # noqa: ANN401
    return {"diameter": diameter, "hole_count": count} | ({"hole_diameter": hole} if hole else {}) | more


_LONG_WORDS: Data = {
    "title": "Adapter between the old suction line of the settling tank and the new pump of the raw water intake",
    "owner": "Marrow Beck Hatchery, raw water intake rebuild, workshop and maintenance department",
    "customer": "Intake rebuild, lower pump room, second stage of the works",
    "status": "preliminary, not for fabrication until the mate is measured",
    "notes": ["Both faces machined after drilling, texture as agreed.", "Stamp number and charge beside hole 1."],
}
_GRID: Data = {"name": "grid", "hole_diameter": 12, "layout": "square", "columns": 9, "rows": 5}
_EVERY_PART = ["check card", "all holes", "step-off plan", "bill", "bolt lengths", "sequences", "sources"]
_UNEVEN = {"diameter": 430, "angles": [5, 47, 90, 133, 171, 200, 251, 290, 333], "hole_diameter": 22, "bolt": "M20"}

AWKWARD: dict[str, Data] = {
    "one hole": _round(200, None, 12, hole=[{"diameter": 20, "radius": 60, "angle": 30}]),
    "sixty holes": _round(900, 700, 20, _circle(820, 60, 18, bolt="M16")),
    "three circles": _round(420, 90, 30, _circle(370, 12, 22), _circle(270, 8, 18), _circle(160, 5, 14)),
    "tiny": _round(30, 8, 3, _circle(20, 4, 3.2)),
    "three meters": _round(3000, 2700, 40, _circle(2880, 72, 33, bolt="M30")),
    "long words": _round(285, 160, 22, _circle(240, 8, 22, bolt="M20"), job=_LONG_WORDS),
    "dual inches": _round(11, 6.719, 1, _circle(9.5, 8, 0.875), units="in", sheet={"dual_units": True}),
    "seven and four": _round(
        10, 3.5, 0.75, _circle(8.25, 7, 0.9375, start_angle=13.3), _circle(5.5, 4, 0.5625), units="in"
    ),
    "no thickness": _round(250, 120, None, _circle(210, 8, 18)),
    "grid": {
        "plate": {"outline": "rectangle", "width": 400, "height": 300, "thickness": 10, "material": _STEEL},
        "hole_grid": [_GRID | {"pitch_x": 30, "pitch_y": 40}],
        "hole_rectangle": [{"width": 360, "height": 260, "columns": 4, "rows": 3, "hole_diameter": 14}],
    },
    "slots": _round(
        360, 140, 16, _circle(300, 8, 18, kind="slot", slot_length=44, slot_along="circle"), _circle(200, 6, 11)
    ),
    "blind from the back": _round(
        260,
        80,
        40,
        _circle(210, 8, kind="tapped", thread="M16", depth=26, worked_from="back"),
        _circle(130, 6, kind="tapped", thread="M12", depth=20, start_angle=10),
    ),
    "sunk heads": _round(
        240, 70, 25, _circle(190, 6, kind="counterbored", bolt="M12"), _circle(110, 4, kind="countersunk", bolt="M8")
    ),
    "register and spigot": _round(
        300,
        100,
        35,
        _circle(250, 8, 22),
        turned=[
            {"kind": "register", "face": "back", "diameter": 180, "depth": 5, "fit": "H8"},
            {"kind": "spigot", "face": "face", "diameter": 150, "height": 4, "fit": "f7"},
        ],
    ),
    "every part": _round(420, 260, 28, _circle(360, 40, 14, bolt="M12"), sheet={"parts": _EVERY_PART}),
    "soft gasket": {
        "plate": {"outside_diameter": 170, "bore": 60, "thickness": 8, "material": "rubber"},
        "bolt_circle": [_circle(130, 4, 18)],
    },
    "uneven by ASME": _round(500, 300, 30, _UNEVEN, sheet={"convention": "ASME"}),
    "many warnings": _round(420, 220, 28, _circle(290, 30, 26, bolt="M24"), _circle(370, 36, 26, bolt="M24")),
    "segment": {
        "plate": {
            "outline": "segment",
            "outside_diameter": 1200,
            "inside_diameter": 1000,
            "part_count": 6,
            "gap": 3,
            "thickness": 20,
            "material": _STEEL,
        },
        "bolt_circle": [_circle(1120, 36, bolt="M24")],
    },
    "nine lugs": {
        "plate": {
            "outline": "lugged",
            "outside_diameter": 200,
            "bore": 154,
            "lug_radius": 20,
            "root_radius": 10,
            "thickness": 12,
            "material": _STEEL,
        },
        "bolt_circle": [_circle(236, 9, bolt="M16")],
    },
}
"""By name: the tables of a job file. Numbers of no standard, made to be hard to lay out."""
