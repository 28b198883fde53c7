"""Figures of the trade that several rooms use, each with its source or said to have none."""

TAP_RUN_OUT = 3.0
"""Pitches that a tap wants below the full thread (common practice, no source)."""

DRILL_THROUGH = 1.0
"""What a drill goes on in mm after its point is through (common practice, no source)."""

HOLE_BEYOND_COARSE = 0.5
"""How far in mm published pipe flanges drill beyond the coarse hole of ISO 273 or the loose one of ASME B18.2.8:
JIS B 2220 M12 in 15 and M16 in 19 mm, ASME B16.5 1/2 in 5/8 in and 5/8 in 3/4 in."""

LARGE_INCH_ROOM = 6.35
"""Most room in mm of a large inch bolt in its hole: 1/4 in (ASME B16.1 has 1 3/4 in 2 in; ASME B16.5 leaves 1/8)."""

SMALLEST_LARGE_INCH = 38.1
"""In mm: 1 1/2 in, where ASME B18.2.8 ends."""

DRILL_BEYOND = 10.0
"""How far in mm the point of a drill may at most come out below a plate: a plate is packed up by 10 mm and more
before it is drilled through (common practice, no source)."""

USUAL_GASKET_MM, USUAL_GASKET_INCH = 2.0, 3.175
"""Thickness in mm of a flat gasket where none is stated, in a job in mm and in one in inches (1/8; common practice, no
source)."""

USUAL_CIRCLE_TOLERANCE = 1.5
"""Plus and minus in mm on the diameter of a bolt circle, where a job states none: the widest of the pipe tables
(ASME B16.5)."""

PAPER_JOINT = 0.15
"""How far in mm two sheets of paper that are cut along a rule and laid mark to mark may be off (common practice, no
source)."""

RULE_READING = 0.25
"""How near in mm a steel rule of up to 1 m is read: half of a half-millimeter division (common practice, no source)."""

LONGEST_RULE = 1000.0
"""In mm; what is longer is read with a tape."""

CALIPER_READING, CALIPER_REACH = 0.1, 140.0
"""How near in mm a caliper finds two printed lines, and how far apart they are on a short scale bar (common practice,
no source)."""

TAPE_ERROR, TAPE_ERROR_PER_M = 0.3, 0.2
"""What a tape measure of class II may be off in mm, and for each meter begun (OIML R 35-1, from memory)."""

TAPE_READING = 0.5
"""How near in mm a tape is read: half of its division of 1 mm (common practice, no source)."""
