"""What people of the trade write for a key or a choice, and what it is called in a job file.

Common practice, no source: the short forms that stand on drawings and in lists.
"""

import re

_KEYS = {
    "od": ("outside_diameter",),
    "outerdiameter": ("outside_diameter", "outer_diameter"),
    "outside": ("outside_diameter",),
    "outsidedia": ("outside_diameter",),
    "id": ("bore", "inside_diameter", "inner_diameter"),
    "insidediameter": ("bore", "inside_diameter", "inner_diameter"),
    "innerdiameter": ("bore", "inside_diameter"),
    "boredia": ("bore",),
    "borediameter": ("bore",),
    "bc": ("diameter",),
    "bcd": ("diameter",),
    "pcd": ("diameter",),
    "boltcircle": ("diameter",),
    "boltcirclediameter": ("diameter",),
    "pitchcircle": ("diameter",),
    "pitchcirclediameter": ("diameter",),
    "holes": ("hole_count",),
    "boltholes": ("hole_count",),
    "noofholes": ("hole_count",),
    "numberofholes": ("hole_count",),
    "bolts": ("hole_count", "bolt"),
    "holedia": ("hole_diameter", "diameter"),
    "holesize": ("hole_diameter", "diameter"),
    "thk": ("thickness",),
    "thick": ("thickness",),
    "rf": ("raised_face_diameter",),
    "raisedface": ("raised_face_diameter",),
    "matl": ("material",),
    "qty": ("quantity",),
    "dwg": ("number",),
    "partno": ("number",),
    "partnumber": ("number",),
    "rev": ("revision",),
    "uom": ("units",),
    "spec": ("standard",),
    "boltsize": ("bolt",),
}
_CHOICES = {
    "inch": "in",
    "inches": "in",
    "millimeter": "mm",
    "millimeters": "mm",
    "millimetre": "mm",
    "millimetres": "mm",
    "chord": "centers",
    "chords": "centers",
    "center": "centers",
    "centre": "centers",
    "centres": "centers",
    "centertocenter": "centers",
    "centretocentre": "centers",
}


def keys_meant(written: str) -> tuple[str, ...]:
    """The keys that a word of the trade can mean, in the order they are looked for; none for any other word.

    Example:
        >>> keys_meant("O.D."), keys_meant("P.C.D."), keys_meant("bore")
        (('outside_diameter',), ('diameter',), ())
    """
    return _KEYS.get(bare_word(written), ())


def choice_meant(written: str, choices: tuple[str, ...]) -> str | None:
    """The choice that is written another way: in capitals, with other spaces or hyphens, or by the trade's word.

    Example:
        >>> choice_meant("Same edges", ("centers", "same-edges")), choice_meant("chord", ("centers", "same-edges"))
        ('same-edges', 'centers')
    """
    bare = bare_word(written)
    meant = _CHOICES.get(bare)
    return next((choice for choice in choices if choice == meant or bare_word(choice) == bare), None)


def bare_word(text: str) -> str:
    """A word without spaces, points, hyphens and capitals."""
    return re.sub(r"[\W_]", "", text).casefold()
