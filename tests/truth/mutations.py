"""Faults made by hand, each in a figure, word or line that a person cuts, orders or signs by.

A fault is a piece of a module that stands there once, what stands there instead, and the tests that must fall. Who
changes a line named here changes it here too; who finds a fault that no test sees adds it with the test.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Mutation:
    """One fault: what goes wrong on paper or in steel, where, and which tests say so."""

    fault: str
    module: str
    old: str
    new: str
    tests: tuple[str, ...]


def _in(module: str, *tests: str) -> "_Module":
    return _Module(module, tests)


@dataclass(frozen=True, slots=True)
class _Module:
    """A module and the tests that watch over it."""

    module: str
    tests: tuple[str, ...]

    def fault(self, what: str, old: str, new: str, *tests: str) -> Mutation:
        """A fault of it, watched over by the module's tests unless others are named."""
        return Mutation(what, self.module, old, new, tests or self.tests)


_TABLES = _in("views/words/hole_tables.py", "views/words/test_hole_tables.py")
_CALLS = _in("views/words/call_outs.py", "views/words/test_call_outs.py")
_NOTES = _in("views/words/notes.py", "views/words/test_notes.py")
_BLOCK = _in("views/page/title_block.py", "views/page/test_title_block.py")
_BILL = _in("views/words/bill.py", "views/words/test_bill.py")
_HARDWARE = _in("standards/joints/hardware.py", "views/words/test_bill.py")
_SEALS = _in("standards/joints/seals.py", "standards/joints/test_hardware.py")
_STOCK = _in("standards/joints/stock.py", "standards/joints/test_stock.py")
_BARS = _in("views/template/measured/bars.py", "views/template/test_furniture.py")
_FOOT = _in("views/template/furniture.py", "views/template/test_furniture.py")
_COVER = _in("views/template/cover.py", "views/template/test_cover.py")
_TEMPLATE = _in("views/template/drawing.py", "views/template/test_pages.py")
_SECTION = _in("views/sheet/section/drawn.py", "views/sheet/test_section.py")
_ALLOWED = _in("views/words/tolerances.py", "views/words/test_tolerances.py")
_PLANE = _in("views/sheet/section/cut.py", "views/sheet/test_section.py")
_LINES = _in("drawing/convention.py", "drawing/test_convention.py")
_PRINTER = _in("drawing/printer.py", "drawing/test_printer.py")
_CIRCLE = _in("flange/bolt_circle.py", "flange/test_bolt_circle.py")
_MASS = _in("flange/mass.py", "flange/test_mass.py")
_CUT = _in("flange/cut_plan.py", "flange/test_cut_plan.py", "views/cut/test_finished.py")
_LEAD = _in("geometry/lead.py", "geometry/test_lead.py")
_ESTIMATE = _in("views/cut/estimate.py", "views/cut/test_estimate.py")
_DRILL = _in("machine/drilling.py", "machine/test_drilling.py")
_DIVIDE = _in("machine/dividing.py", "machine/test_dividing.py")
_ROTARY = _in("machine/rotary.py", "machine/test_rotary.py")
_READOUT = _in("machine/readout.py", "machine/test_readout.py")
_MEASURED = _in("views/words/bench/measuring.py", "views/words/bench/test_measuring.py")
_SPANS = _in("checks/measuring.py", "checks/test_measuring.py")
_STEPS = _in("views/words/bench/check_tables.py", "views/words/bench/test_check_tables.py")
_ORDER = _in("views/words/bench/sequences.py", "views/words/test_bill.py")
_BOLTING = _in("standards/bolting.py", "standards/test_bolting.py")
_METAL = _in("checks/plate/metal.py", "checks/plate/test_shop_checks.py")
_MATE = _in("checks/mating/mating.py", "checks/mating/test_mating.py")
_INSPECTED = _in("checks/inspection/results.py", "checks/inspection/test_inspect.py")
_CASES = "truth/test_bolts_and_seats.py::"
_BOLTS = _in("checks/plate/bolts.py", _CASES + "test_a_bolt_larger_than_its_hole_fails")
_RECESSES = _in("checks/plate/recesses.py", _CASES + "test_a_seat_or_thread_deeper_than_the_plate_fails")
_MATES = _in("checks/joint/mates.py", _CASES + "test_a_mate_named_by_its_standard_is_mated_on_the_spot")
_SPIGOTS = _in("checks/joint/spigots.py", _CASES + "test_a_motors_spigot_needs_a_bore_that_takes_it")
_FINDING = _in("checks/finding.py", _CASES + "test_a_bolt_larger_than_its_hole_fails")
_CLAIMED = "truth/test_standards_claimed.py::"
_CLAIMS = _in("flange/claims.py", _CLAIMED + "test_figures_that_differ_from_the_row_are_no_match_anywhere")
_ORIGINS = _in("views/words/origins.py", _CLAIMED + "test_the_rows_own_figures_are_a_match_and_nothing_else_is_said")
_PLAN = _in("views/sheet/sheet.py", _CLAIMED + "test_figures_that_differ_from_the_row_are_no_match_anywhere")
_CHECK = _in("cli/check.py", "cli/test_checking.py")
_UNITS = _in("units.py", "test_units.py")

MUTATIONS: tuple[Mutation, ...] = (
    _TABLES.fault(
        "FROM LEFT of the sheet's hole table is counted from the far side",
        "at += [hole.center.x - box.left,",
        "at += [box.right - hole.center.x,",
    ),
    _TABLES.fault(
        "FROM BOTTOM of the sheet's hole table is Y CENTER again",
        "hole.center.y - box.bottom] if corner",
        "hole.center.y] if corner",
    ),
    _TABLES.fault(
        "x_corner of the hole list is x_center again", "number(hole.center.x - box.left),", "number(hole.center.x),"
    ),
    _TABLES.fault(
        "y_corner of the hole list is measured downward",
        "number(hole.center.y - box.bottom),",
        "number(box.top - hole.center.y),",
    ),
    _TABLES.fault(
        "hole_diameter of the hole list is the radius", "number(hole.diameter),", "number(hole.diameter / 2),"
    ),
    _TABLES.fault(
        "columns of an inch hole list are named mm",
        '*(f"{name}_{unit.value}" for name in lengths),',
        '*(f"{name}_mm" for name in lengths),',
    ),
    _TABLES.fault(
        "X CENTER of the sheet's hole table runs the other way", "at = [hole.center.x,", "at = [-hole.center.x,"
    ),
    _in("views/words/tolerances.py", "views/words/bench/test_measuring.py").fault(
        "what is accepted is rounded outward", "low = math.ceil(round(", "low = math.floor(round("
    ),
    _MEASURED.fault(
        "what is accepted is wide by the whole tolerance twice",
        "distance - allowed.value, distance + allowed.value",
        "distance - allowed.value, distance + 2 * allowed.value",
    ),
    _SPANS.fault(
        "the second diagonal runs beside the first",
        "square = max(pairs,",
        "square = min(pairs[1:],",
    ),
    _SPANS.fault(
        "a neighbor is measured over two pitches",
        "return list(pairwise(order)) + ",
        "return list(zip(order, order[2:], strict=False)) + ",
    ),
    _CALLS.fault(
        "a pattern turned counter-clockwise is called clockwise",
        "{'CCW' if off > 0 else 'CW'} OF TOP",
        "{'CW' if off > 0 else 'CCW'} OF TOP",
    ),
    _CALLS.fault(
        "any two neighbors are said to stand evenly on either side of the top",
        "abs(off + turns[before]) <= _SAME",
        "off + turns[before] <= 360.0",
    ),
    _CALLS.fault(
        "as many pairs are called out as there are holes",
        "IN {circle.hole_count // 2} PAIRS",
        "IN {circle.hole_count} PAIRS",
    ),
    _CALLS.fault(
        "the holes that are drilled are said to be left out",
        'return "NO HOLE AT " + ", ".join(str(number) for number in skipped)',
        'return "NO HOLE AT " + ", ".join(str(number) for number in drilled)',
    ),
    _CALLS.fault(
        "the count of a call-out includes the holes left out",
        "{len(circle.hole_numbers())}{lengths.times}{hole}",
        "{circle.hole_count}{lengths.times}{hole}",
    ),
    _ALLOWED.fault(
        "the tolerance of any chord is the bolt circle's",
        '("centers, any 2 of a circle", stated.chord)',
        '("centers, any 2 of a circle", stated.chord and (stated.bolt_circle or stated.chord))',
    ),
    _ALLOWED.fault(
        "a bolt circle with a wider tolerance than its chords is told, too",
        "if allowed is not None and allowed < widest:",
        "if allowed is not None:",
    ),
    _ALLOWED.fault(
        "a zone that a larger hole widens is told as if it did not",
        "return math.inf if stated.hole is None else position + stated.hole.plus + stated.hole.minus",
        "return position",
    ),
    _NOTES.fault(
        "the caution of a ring without a rating is left out", "_PLATE_FLANGE, ring and", "_PLATE_FLANGE, not ring and"
    ),
    _NOTES.fault(
        "the caution of wheel adapters is left out", "(_WHEEL, Family.WHEEL_HUB in", "(_WHEEL, Family.WHEEL_HUB not in"
    ),
    _NOTES.fault(
        "the caution of extra holes in a blind is left out", "(_EXTRA_HOLE, flange", "(_EXTRA_HOLE, not flange"
    ),
    _NOTES.fault("heat is never spoken of", "process.is_thermal and", "not process.is_thermal and"),
    _NOTES.fault("every caution is left out of the sheet", '" ".join(cautions(flange, process)),', ""),
    _NOTES.fault("what the checks found is left out of the sheet", "*remarks,", "", "views/words/test_notes.py"),
    _NOTES.fault("the shop's own notes are left out of the sheet", "*info.notes,", ""),
    _NOTES.fault("the face that the sheet shows is not named", "seen_from(flange),", ""),
    _BLOCK.fault("QUANTITY is always 1", "Shows.QUANTITY: str(info.quantity),", 'Shows.QUANTITY: "1",'),
    _BLOCK.fault("REVISION is always A", "Shows.REVISION: info.revision,", 'Shows.REVISION: "A",'),
    _BLOCK.fault("an inch sheet says millimeters", 'Unit.IN: ("inches",', 'Unit.IN: ("millimeters",'),
    _BLOCK.fault("MASS is left blank", "Shows.MASS: facts.mass", 'Shows.MASS: ""'),
    _BLOCK.fault(
        "CREATED and APPROVED are changed round",
        "Shows.APPROVED_BY: info.approved_by,",
        "Shows.APPROVED_BY: info.drawn_by,",
    ),
    _HARDWARE.fault("a stud gets one nut", "nuts=nuts * count,", "nuts=min(nuts, 1) * count,"),
    _BILL.fault("TOTAL is for one piece", "str(row.each * quantity)", "str(row.each)"),
    _SEALS.fault("the gasket reaches past the bolts", "min(circle.diameter - _kept", "min(circle.diameter + _kept"),
    _HARDWARE.fault(
        "bolts are too short by the gasket",
        "parts += (*_between(asked, size), *_ends(size, nuts, washers))",
        "parts += _ends(size, nuts, washers)",
    ),
    _HARDWARE.fault(
        "one washer a bolt where two are used", "washers=washers * count if", "washers=min(washers, 1) * count if"
    ),
    _STOCK.fault(
        "a bolt is bought a length too short",
        "math.ceil((wanted - above) / step - 1e-9)",
        "math.floor((wanted - above) / step)",
    ),
    _BARS.fault(
        "the paper may be off by all of the tolerance",
        "return bar * min(_circle_tolerance(flange) / 3 / largest_size(flange), _MOST_SHARE)",
        "return bar * min(_circle_tolerance(flange) / largest_size(flange), _MOST_SHARE)",
    ),
    _BARS.fault(
        "a bar's inches are wrong", "{decimal_text(length, Unit.IN)} in", "{decimal_text(length * 1.01, Unit.IN)} in"
    ),
    _BARS.fault(
        "bar X is drawn short of what it says",
        "Line(Point(window.left, base), Point(window.left + length, base))",
        "Line(Point(window.left, base), Point(window.left + 0.99 * length, base))",
    ),
    _FOOT.fault("nothing says to print at full size", "        PRINT_WORDS,\n", ""),
    _COVER.fault(
        "what is accepted of both bars is that of X",
        'for axis, room in (("X", window.width), ("Y", window.height)):',
        'for axis, room in (("X", window.width), ("Y", window.width)):',
    ),
    _COVER.fault(
        "chords to measure on the plate are the next ones only",
        "circle.chord_across(span), span == 1) for span",
        "circle.chord_across(1), span == 1) for span",
    ),
    _TEMPLATE.fault(
        "holes of the template are half as large",
        "yield Layer.TEMPLATE_HOLES, hole.shape",
        "yield Layer.TEMPLATE_HOLES, Circle(hole.center, radius / 2)",
        "views/template/test_joining.py",
    ),
    _PLANE.fault(
        "no hole of a circle is turned into the plane below the middle",
        "for side in (1.0, -1.0):",
        "for side in (1.0, 1.0):",
    ),
    _SECTION.fault(
        "the section shows its named face on the wrong side",
        "self.right - depth if self.look.convention.first_angle",
        "self.right - depth if not self.look.convention.first_angle",
        "views/sheet/test_sheet.py",
    ),
    _LINES.fault(
        "hidden lines of ASME are dashed as ISO's",
        "Layer.HIDDEN: (0.3, (3.0, 1.0)),",
        "Layer.HIDDEN: (0.3, (3.0, 0.75)),",
    ),
    _PRINTER.fault(
        "a page printed sideways is corrected along the wrong side",
        "(self.along, self.across) if sideways",
        "(self.across, self.along) if sideways",
    ),
    _PRINTER.fault(
        "a printer's factor is turned upside down",
        "bars[0] / NOMINAL, bars[1] / NOMINAL",
        "NOMINAL / bars[0], bars[1] / NOMINAL",
    ),
    _CIRCLE.fault(
        "straddling holes stand on the centerline",
        "from_line = (number - 1 + 0.5 * straddles) * self.pitch_angle",
        "from_line = (number - 1) * self.pitch_angle",
    ),
    _CIRCLE.fault(
        "the two holes of a pair stand twice as far apart",
        "middle + (self.pair_angle / 2 if second else -self.pair_angle / 2)",
        "middle + (self.pair_angle if second else -self.pair_angle)",
    ),
    _CIRCLE.fault(
        "the vertical centerline is the horizontal one",
        "return 90.0 if self is Centerline.VERTICAL else 0.0",
        "return 0.0 if self is Centerline.VERTICAL else 90.0",
    ),
    _CIRCLE.fault(
        "a chord spans twice its pitches",
        "return diameter * math.sin(math.pi * pitches / hole_count)",
        "return diameter * math.sin(2 * math.pi * pitches / hole_count)",
    ),
    _MASS.fault(
        "a chamfer adds to the mass",
        "yield -math.pi * size**2 * (radius + size / 3)",
        "yield math.pi * size**2 * (radius + size / 3)",
    ),
    _CUT.fault(
        "the kerf is taken up on the wrong side",
        "by = kerf / 2 if isinstance(of, PartEdge) else -kerf / 2",
        "by = -kerf / 2 if isinstance(of, PartEdge) else kerf / 2",
    ),
    _CUT.fault(
        "the kerf is taken up twice over",
        "by = kerf / 2 if isinstance(of, PartEdge) else -kerf / 2",
        "by = kerf if isinstance(of, PartEdge) else -kerf",
    ),
    _CUT.fault(
        "a hole left for the drill is cut too large",
        "return grown(shape, -options.undersize / 2)",
        "return grown(shape, options.undersize / 2)",
    ),
    _CUT.fault(
        "the outline is cut before the holes",
        "cuts = [*small_first, *(_kerfed(*each, options.kerf, unit) for each in edges)]",
        "cuts = [*(_kerfed(*each, options.kerf, unit) for each in edges), *small_first]",
    ),
    _CUT.fault(
        "a kerf wider than its gap is cut",
        "return kerf <= outline.gap + _ALIKE",
        "return kerf <= 99 * outline.gap",
        "truth/test_cut_files.py::test_a_kerf_wider_than_the_gap_between_parts_is_refused",
    ),
    _CUT.fault(
        "a kerf that leaves a notch uncut is taken up",
        "if worst is not None and worst.short > kerf:",
        "if worst is not None and worst.short > 999 * kerf:",
        "truth/test_cut_files.py::test_a_notch_narrower_than_the_kerf_is_refused",
    ),
    _LEAD.fault(
        "a round hole is pierced in the part",
        "side, arrival = (-1.0, 0.0) if wanted.scrap_inside",
        "side, arrival = (1.0, 180.0) if wanted.scrap_inside",
        "views/cut/test_finished.py",
    ),
    _LEAD.fault(
        "a lead pierces the part beside its own",
        "spine_distance(lead, piece) < self.clear and",
        "spine_distance(lead, piece) < -1.0 and",
        "truth/test_cut_files.py::test_a_pierce_keeps_out_of_the_neighboring_part",
    ),
    _ESTIMATE.fault("the estimate forgets the leads", "return _length(cuts),", "return 0.9 * _length(cuts),"),
    _ESTIMATE.fault(
        "the estimate counts a pierce too few",
        "for item in cuts)\n\n\ndef cut_work_text",
        "for item in cuts) - 1\n\n\ndef cut_work_text",
    ),
    _DRILL.fault(
        "the drill stops short of going through",
        "+ DRILL_POINT * diameter + DRILL_THROUGH",
        "- DRILL_POINT * diameter + DRILL_THROUGH",
    ),
    _DRILL.fault(
        "the drill goes up instead of down", 'reach = f"Z{_number(-depth, unit)}', 'reach = f"Z{_number(depth, unit)}'
    ),
    _DRILL.fault("an inch program says millimeters", "'G21' if options.unit is Unit.MM else 'G20'", "'G21'"),
    _DRILL.fault(
        "the program does not say to prove it first",
        '        "WARNING: PROVE THIS PROGRAM IN AIR, ABOVE THE WORK, BEFORE IT CUTS METAL",\n',
        "",
    ),
    _DIVIDE.fault(
        "the first hole of a dividing head does not stand at zero",
        "Fraction(number - numbers[0], circle.hole_count)",
        "Fraction(number, circle.hole_count)",
    ),
    _ROTARY.fault(
        "a turn of the handwheel is taken for another", "a_turn = Fraction(360, ratio)", "a_turn = Fraction(180, ratio)"
    ),
    _READOUT.fault(
        "Y of the readout is counted from the wrong zero",
        "decimal_text(hole.center.y - y, unit, places),",
        "decimal_text(hole.center.y + y, unit, places),",
    ),
    _STEPS.fault(
        "dividers are set to the wrong step",
        "return lengths.decimal(chord_across(circle.diameter, circle.hole_count, span))",
        "return lengths.decimal(chord_across(circle.diameter, circle.hole_count, 1))",
    ),
    _STEPS.fault(
        "from the bore's edge the hole's radius is forgotten",
        "lengths.decimal(radius - bore - circle.hole_diameter / 2)",
        "lengths.decimal(radius - bore)",
    ),
    _ORDER.fault(
        "the holes to pin first are neighbors", '[("D1 - D2", _listed(holes[:2]),', '[("D1 - D2", _listed(holes[1:3]),'
    ),
    _BOLTING.fault(
        "bolts are tightened round the circle",
        "shifts = (0, 2 * quarter, quarter, 3 * quarter)",
        "shifts = (0, quarter, 2 * quarter, 3 * quarter)",
    ),
    _METAL.fault(
        "metal between holes is measured from centers",
        "np.hypot(*(points[first] - points[second]).T) - both / 2",
        "np.hypot(*(points[first] - points[second]).T) - 0 * both",
    ),
    _MATE.fault(
        "a bolt passes however far the holes are apart",
        "together = room_a + room_b - offset",
        "together = room_a + room_b + offset",
    ),
    _MATE.fault(
        "two flanges are laid on each other unmirrored",
        "(a, b.mirrored() if face_to_face and _face_alike(a, b) else b)",
        "(a, b)",
    ),
    _MATE.fault(
        "holes are opened to half of what they lack",
        "diameter + 2 * offset - (kept - diameter)",
        "diameter + offset - (kept - diameter)",
    ),
    _INSPECTED.fault(
        "a size too small passes",
        "abs(self.deviation) <= self.tolerance.value + PASSES",
        "self.deviation <= self.tolerance.value + PASSES",
    ),
    _CHECK.fault(
        "check ends well though a check failed", "return 1 if tally(examined.findings).failed else 0", "return 0"
    ),
    _UNITS.fault("a pound is half a kilogram", "_POUND = 0.45359237", "_POUND = 0.5"),
    _BOLTS.fault(
        "a bolt larger than its hole passes",
        "limit = Limit(known.diameter, Ground.GEOMETRY)",
        "limit = Limit(0.0, Ground.GEOMETRY)",
    ),
    _BOLTS.fault(
        "a hole that swallows its nut passes",
        "return Limit(coarse.value + HOLE_BEYOND_COARSE, Ground.HOLE_ROOM)",
        "return Limit(3 * coarse.value, Ground.HOLE_ROOM)",
        _CASES + "test_a_hole_that_swallows_its_nut_fails",
    ),
    _RECESSES.fault(
        "a countersink that comes out at the back passes",
        "yield judged(Rule.RECESS_FLOOR, place, facts, left, GEOMETRY,",
        "yield judged(Rule.RECESS_FLOOR, place, facts, abs(left), GEOMETRY,",
    ),
    _RECESSES.fault(
        "a head without metal below it passes",
        "limit = _HEAD_FLOOR.limit(hole.diameter)",
        "limit = _HEAD_FLOOR.limit(-99 * hole.diameter)",
        _CASES + "test_a_head_that_stands_on_a_skin_of_metal_fails",
    ),
    _MATES.fault(
        "a mate on another circle takes every bolt",
        "offset = abs(circle.diameter - theirs.diameter) / 2",
        "offset = 0.0",
    ),
    _MATES.fault(
        "heads over the rim of the mate pass",
        "outside = (circle.diameter - seat - (known.outside_diameter or 0.0)) / 2",
        "outside = (circle.diameter + seat - (known.outside_diameter or 0.0)) / 2",
        _CASES + "test_bolt_heads_must_fit_beside_the_mate_on_the_same_face",
    ),
    _SPIGOTS.fault(
        "a bore that does not take the spigot passes",
        "Limit(spigot.diameter, source)",
        "Limit(0.0, source)",
    ),
    _FINDING.fault(
        "what is less than its least passes", "sound = value >= limit.value - slack", "sound = value > -999.0"
    ),
    _CLAIMS.fault(
        "a standard is claimed for another bolt circle",
        "if abs(circle.diameter - row.circle) > SAME:",
        "if abs(circle.diameter - row.circle) > 99.0:",
    ),
    _CLAIMS.fault(
        "a standard is claimed for another count of holes",
        "if circle.hole_count != row.hole_count:",
        "if circle.hole_count > 99 * row.hole_count:",
    ),
    _CLAIMS.fault(
        "a standard is claimed for holes of another size",
        "if published is not None and abs(drawn - published) > SAME:",
        "if published is not None and abs(drawn - published) > 99.0:",
    ),
    _CLAIMS.fault(
        "a standard is claimed for holes that are unequally spaced",
        "if abs(one - other) > SAME:",
        "if abs(one - other) > 999.0:",
        _CLAIMED + "test_unequal_angles_are_not_the_standards_spacing",
    ),
    _ORIGINS.fault("what a drilling matches is not said", "yield match_words(met, verb)", "yield from ()"),
    _PLAN.fault(
        "a sheet does not say NOT AS",
        "(*doubtful, *request.failed)",
        "(*request.failed,)",
    ),
    _PLAN.fault(
        "what the checks found wrong is left out of the sheet",
        "(*doubtful, *request.failed)",
        "doubtful",
        "views/sheet/test_sheet.py::test_more_warnings_than_a_first_sheet_holds_are_told_overleaf",
    ),
)
