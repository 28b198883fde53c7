"""Sound jobs of any outline, with openings and single holes."""

import random
from typing import Any

from flangelayout.errors import InputError
from flangelayout.job import Job
from flangelayout.job.load import job_from_data


def _outline(dice: random.Random) -> dict[str, Any]:
    """A plate of any outline with sizes that may go together, in whole or half mm."""

    def size(low: float, high: float) -> float:
        return round(dice.uniform(low, high) * 2) / 2

    body = size(80, 400)
    turn = dice.choice((0, 90, 180, 270, 30, 200.5))
    return dice.choice(
        (
            {"outline": "rectangle", "width": body, "height": size(60, 300), "corner_radius": size(0, 25)},
            {"outline": "oval", "length": 1.8 * body, "width": body, "end_radius": size(0.2, 0.5) * body},
            {"outline": "lozenge", "length": 2 * body, "middle_diameter": body, "end_radius": size(10, 38)},
            {
                "outline": "lugged",
                "outside_diameter": body,
                "lug_count": dice.choice((2, 3, 4, 6)),
                "lug_circle": body + size(20, 60),
                "lug_radius": size(8, 14),
                "first_lug_angle": dice.choice((0, 45, 90, 17.5)),
                "root_radius": size(0, 8),
                **({"lug_width_at_middle": size(30, 50)} if dice.random() < 0.5 else {}),
            },
            {
                "outline": "paddle",
                "outside_diameter": body,
                "handle_length": body,
                "handle_width": size(20, 40),
                "handle_angle": turn,
                "end_radius": dice.choice((0, 3, 10)),
                "root_radius": size(0, 10),
            },
            {"outline": "figure-8", "outside_diameter": body, "center_distance": body + size(20, 60)}
            | {"web_width": size(20, 60), "root_radius": size(0, 8)},
            {
                "outline": dice.choice(("segment", "split")),
                "outside_diameter": 3 * body,
                "inside_diameter": 2.5 * body,
                "part_count": dice.choice((2, 3, 4, 6)),
                "first_joint_angle": turn,
                "gap": dice.choice((0, 2, 3.5)),
            },
        )
    )


def random_outline(seed: int) -> Job:
    """A sound job of any outline with openings and single holes, in mm."""
    for attempt in range(60):
        dice = random.Random(f"{seed} {attempt}")
        plate = _outline(dice) | {"thickness": 15}
        ring = plate["outline"] in ("segment", "split")
        tables: dict[str, Any] = {"plate": plate | ({} if ring or dice.random() < 0.5 else {"bore": 24})}
        if not ring and dice.random() < 0.5:
            tables["hole"] = [{"diameter": 6, "x": dice.choice((0, 21, -18.5)), "y": dice.choice((0, 23, -20))}]
        if not ring and plate["outline"] != "figure-8" and dice.random() < 0.5:
            shape = dice.choice(({"shape": "circle", "diameter": 7}, {"shape": "slot", "width": 5, "length": 9}))
            tables["opening"] = [shape | dice.choice(({"x": -12, "y": 25.5}, {"radius": 30, "angle": 40, "count": 3}))]
        try:
            return job_from_data(tables | {"sheet": {"paper": dice.choice(("A4", "Letter", "A3"))}})
        except InputError:
            continue
    raise AssertionError(f"no sound plate from seed {seed}")
