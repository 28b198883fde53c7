"""The names of the checks: once, for findings, job files, JSON and pages."""

from enum import Enum


class Rule(Enum):
    """What a check looks at; the value is its name in job files and JSON."""

    BORE_INSIDE_PLATE = "bore-inside-plate"
    RAISED_FACE_ON_PLATE = "raised-face-on-plate"
    CIRCLE_ON_PLATE = "circle-on-plate"
    HOLES_OVERLAP = "holes-overlap"
    HOLE_ON_PLATE = "hole-on-plate"
    HOLE_CLEAR_OF_BORE = "hole-clear-of-bore"
    OPENING_INSIDE_PLATE = "opening-inside-plate"
    OPENINGS_APART = "openings-apart"
    DEPTH_IN_PLATE = "depth-in-plate"
    TURNED_ON_PLATE = "turned-on-plate"
    TURNED_FLOOR = "turned-floor"
    AS_STANDARD = "as-standard"
    READINGS = "readings"
    PARENT = "parent"
    USUAL_SIZE = "usual-size"
    UNIT_MEANT = "unit-meant"
    BOLT_KNOWN = "bolt-known"
    BOLT_IN_HOLE = "bolt-in-hole"
    HOLE_COVERED = "hole-covered"
    RECESS_FLOOR = "recess-floor"
    RECESSES_APART = "recesses-apart"
    RECESS_ON_PLATE = "recess-on-plate"
    RAISED_FACE_CLEAR = "raised-face-clear"
    WALL_CLEAR = "wall-clear"
    LIGAMENT = "ligament"
    EDGE_METAL = "edge-metal"
    BORE_METAL = "bore-metal"
    SEAT_ON_PLATE = "seat-on-plate"
    SEAT_CLEAR_OF_BORE = "seat-clear-of-bore"
    SEAT_CLEAR_OF_HUB = "seat-clear-of-hub"
    SEAT_CLEAR_OF_RAISED_FACE = "seat-clear-of-raised-face"
    SEAT_OVER_HOLE = "seat-over-hole"
    SEATS_APART = "seats-apart"
    WRENCH_ROOM = "wrench-room"
    BOLT_SPACING = "bolt-spacing"
    TAP_DEPTH = "tap-depth"
    TAP_BOTTOM = "tap-bottom"
    CLOCKING = "clocking"
    MATE_BOLTS = "mate-bolts"
    MATE_RIM = "mate-rim"
    MATE_SPIGOT = "mate-spigot"
    SPIGOT_DEPTH = "spigot-depth"
    SPIGOT_IN_MATE = "spigot-in-mate"
    MATES_MEET = "mates-meet"
    MATE_SEAT = "mate-seat"
    HEAD_SUNK = "head-sunk"
    SEAT_FLAT = "seat-flat"
    SCREW_END = "screw-end"
    WORKED_FACE = "worked-face"
    DRILL_DEPTH = "drill-depth"
    SMALLEST_CUT_HOLE = "smallest-cut-hole"
    KERF_IN_GAP = "kerf-in-gap"
    MARK_LETTERS = "mark-letters"
    FONT = "font"
    PLACEMENT = "placement"
    ROW_NOTE = "row-note"
    HEAVY = "heavy"
    THREAD_OPENS = "thread-opens"
    LENGTH_ASSUMED = "length-assumed"
    PICKED_AMONG = "picked-among"
    CUT_UNDERSIZE = "cut-undersize"
    CUT_CENTER_MARK = "cut-center-mark"
    CUT_LEFT = "cut-left"
    CUT_BORE_THERE = "cut-bore-there"
    CUT_KERF = "cut-kerf"
    CUT_CORNERS = "cut-corners"
    CUT_LEADS = "cut-leads"
    CUT_NO_LEAD = "cut-no-lead"
    CUT_OVERCUT = "cut-overcut"
    CUT_TABS = "cut-tabs"
    TEMPLATE_PAPER = "template-paper"
    CUT_MACHINED = "cut-machined"
    DRILL_PROGRAM = "drill-program"
    BLOCK_LINE = "block-line"

    @property
    def stops(self) -> bool:
        """Whether a job that fails it contradicts itself and cannot be drawn; such a check cannot be left out."""
        return self in _STOPPING

    @property
    def is_check(self) -> bool:
        """Whether it can pass or fail; the others only tell what is to be noticed."""
        return self not in _NOTICED


_NOTICED = frozenset(
    {
        Rule.PLACEMENT,
        Rule.ROW_NOTE,
        Rule.HEAVY,
        Rule.THREAD_OPENS,
        Rule.LENGTH_ASSUMED,
        Rule.PICKED_AMONG,
        Rule.CUT_UNDERSIZE,
        Rule.CUT_CENTER_MARK,
        Rule.CUT_LEFT,
        Rule.CUT_BORE_THERE,
        Rule.CUT_KERF,
        Rule.CUT_CORNERS,
        Rule.CUT_LEADS,
        Rule.CUT_NO_LEAD,
        Rule.CUT_OVERCUT,
        Rule.CUT_TABS,
        Rule.TEMPLATE_PAPER,
        Rule.CUT_MACHINED,
        Rule.DRILL_PROGRAM,
        Rule.BLOCK_LINE,
    }
)
_STOPPING = frozenset(
    {
        Rule.BORE_INSIDE_PLATE,
        Rule.RAISED_FACE_ON_PLATE,
        Rule.CIRCLE_ON_PLATE,
        Rule.HOLES_OVERLAP,
        Rule.HOLE_ON_PLATE,
        Rule.HOLE_CLEAR_OF_BORE,
        Rule.OPENING_INSIDE_PLATE,
        Rule.OPENINGS_APART,
        Rule.DEPTH_IN_PLATE,
        Rule.TURNED_ON_PLATE,
        Rule.TURNED_FLOOR,
    }
)
