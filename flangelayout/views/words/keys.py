"""Every key and table of a job file in words: the reference of ``flangelayout keys`` and the hints on the page.

Which keys there are, what they may hold and what they are taken as stands in the schema alone; a test holds the
two against each other.
"""

from msgspec import Struct


class KeyWords(Struct, frozen=True):
    """A key in words.

    Attributes:
        name: What the page calls it.
        meaning: One phrase that says what it does.
        example: A value as a job file writes it.
    """

    name: str
    meaning: str
    example: str


class TableWords(Struct, frozen=True):
    """A table of a job file in words.

    Attributes:
        meaning: What it is.
        heading: Above its fields on the page.
        contents: What is in it.
        apart: What tells its fields from those of the same name elsewhere.
        row: What one of several is called; empty where a job file holds one only.
    """

    meaning: str
    heading: str
    contents: str
    apart: str
    row: str = ""


TABLES = {
    "plate": TableWords("what is drilled", "Plate", "outline, face, material, edges", "plate"),
    "bolt_circle": TableWords(
        "holes on a circle round the middle; written once for each circle",
        "Bolt circles",
        "holes round the middle",
        "circle",
        "bolt circle",
    ),
    "hole": TableWords(
        "a single hole; written once for each",
        "Single holes",
        "each at a place of its own",
        "single hole",
        "single hole",
    ),
    "hole_rectangle": TableWords(
        "holes along the sides of a rectangle",
        "Rectangles of holes",
        "holes along four sides",
        "rectangle",
        "rectangle of holes",
    ),
    "hole_grid": TableWords(
        "holes in rows, in line or staggered", "Grids of holes", "holes in rows", "grid", "grid of holes"
    ),
    "hole_rings": TableWords(
        "holes on circles one inside the other",
        "Rings of holes",
        "holes on circles one inside the other",
        "rings",
        "rings of holes",
    ),
    "opening": TableWords("an opening beside the bore", "Openings", "beside the bore", "opening", "opening"),
    "turned": TableWords(
        "a recess, register, spigot, groove or raised face; written once for each",
        "Turned faces",
        "recess, register, groove, spigot",
        "turned",
        "turned face",
    ),
    "mate": TableWords(
        "what bolts to a circle: a designation, a job file or sizes; written once for each",
        "Mates",
        "what bolts to it",
        "mate",
        "mate",
    ),
    "derived": TableWords(
        "the part that this one was derived from; written by flangelayout derive",
        "Derived from",
        "the part that this one was made from",
        "derived",
    ),
    "job": TableWords("the title block", "Title block", "who, for whom, how many, revisions", "job"),
    "sheet": TableWords("how the layout sheet is drawn", "Sheet", "the dimensioned drawing", "sheet"),
    "template": TableWords(
        "how the template is printed", "Template and printer", "the paper that is taped onto the plate", "template"
    ),
    "cut": TableWords("how the cutting table is served", "Cut table", "what the cut file holds", "cut file"),
    "machine": TableWords(
        "what is written for drilling machines", "Machine", "mill, dividing head, rotary table", "machine"
    ),
    "checks": TableWords(
        "limits of the checks, and what they need to know",
        "Checks",
        "limits, and what else stands on the plate",
        "checks",
    ),
    "tolerances": TableWords("what the drawing allows", "Tolerances", "what the drilling is held to", "tolerances"),
    "survey": TableWords(
        "readings of a flange that is there", "Readings", "what was read on the flange, number by number", "readings"
    ),
}
"""Every table of a job file, those that people look for first."""

_K = KeyWords

_JOB = {
    "units": _K("Units", "the unit of every number that has none of its own", '"mm"'),
    "job.number": _K("Job number", "names the files; left out: the name of the job file", '"MB-101"'),
    "job.title": _K("Title", "what the part is", '"Intake ring flange"'),
    "job.revision": _K("Revision", "goes up with every change of an issued job", '"B"'),
    "job.owner": _K("Owner", "whose drawing it is; usually written in the shop file", '"Marrow Beck Hatchery"'),
    "job.customer": _K("Customer", "for whom", '"intake crew"'),
    "job.drawn_by": _K("Drawn by", "name or initials", '"R. Fell"'),
    "job.approved_by": _K("Approved by", "name or initials", '"T. Gill"'),
    "job.date": _K("Date", "as it is to stand on the sheet", "2026-11-25"),
    "job.status": _K("Status", "as it is to stand on the sheet", '"for approval"'),
    "job.quantity": _K("Quantity", "how many are made", "2"),
    "job.notes": _K("Notes", "the shop's own notes, first on the sheet", '["deburr both faces"]'),
    "job.revision_history.revision": _K("Revision", "its letter", '"B"'),
    "job.revision_history.date": _K("Date", "of the revision", '"2026-11-25"'),
    "job.revision_history.change": _K("Change", "what was changed", '"bore was 168"'),
    "job.revision_history.by": _K("By", "who changed it", '"RF"'),
}
_PLATE = {
    "plate.outline": _K("Outline", "shape of the plate; each takes sizes of its own", '"round"'),
    "plate.standard": _K("Standard of the outside", "fills the outside diameter", '"EN 1092-1 PN16 DN150"'),
    "plate.outside_diameter": _K("Outside diameter", "of a round plate, a disc or a ring", "285"),
    "plate.bore": _K("Bore", "opening, or the pipe it is for; left out: a blind", '"pipe 6 in sch 40, slip-on"'),
    "plate.thickness": _K("Thickness", "over all, what stands out of either face included", "22"),
    "plate.raised_face_diameter": _K("Raised face diameter", "of the named face", "212"),
    "plate.raised_face_height": _K("Raised face height", "how far the named face stands out", "3"),
    "plate.bore_chamfer": _K("Bore chamfer", "of the bore's edge on the named face, at 45 degrees", "2"),
    "plate.bore_cut": _K("Bore already cut", "true where the bore is there when the holes are laid out", "true"),
    "plate.material": _K("Material", "as it is ordered", '"carbon steel"'),
    "plate.density": _K("Density", "in kg per cubic meter, for a material that is in no table", "1450"),
    "plate.face": _K(
        "Face",
        "the face you look at; if left out, the gasket face of what is a pipe flange",
        '"pump side"',
    ),
    "plate.width": _K("Width", "of a rectangle or an oval; the side of a square", "300"),
    "plate.height": _K("Height", "of a rectangle", "200"),
    "plate.length": _K("Length", "over all, of an oval or a lozenge", "240"),
    "plate.corner_radius": _K("Corner radius", "of a rectangle or square", "20"),
    "plate.end_radius": _K("End radius", "of the ends of an oval, a lozenge or a handle", "30"),
    "plate.root_radius": _K("Root radius", "of the fillets where lugs, arms, handle or web meet the body", "8"),
    "plate.middle_diameter": _K("Middle diameter", "of the round middle of a lozenge", "120"),
    "plate.lug_count": _K("Lugs", "how many; left out: as many as the first bolt circle has holes", "6"),
    "plate.lug_circle": _K("Lug circle", "through the ends' centers; left out: the first bolt circle", "240"),
    "plate.lug_radius": _K("Lug radius", "of the lugs' round ends", "22"),
    "plate.lug_width_at_middle": _K("Lug width at the middle", "of a tapered lug carried on to the middle", "60"),
    "plate.first_lug_angle": _K("Angle of lug 1", "left out: the first hole's", "22.5"),
    "plate.hub_diameter": _K("Hub diameter", "of a spider", "90"),
    "plate.arm_count": _K("Arms", "how many; left out: as many as the first bolt circle has holes", "5"),
    "plate.arm_circle": _K("Arm circle", "through the ends' centers; left out: the first bolt circle", "110"),
    "plate.arm_end_radius": _K("Arm end radius", "of the arms' round ends", "9"),
    "plate.arm_width_at_middle": _K("Arm width at the middle", "of a tapered arm carried on to the middle", "40"),
    "plate.first_arm_angle": _K("Angle of arm 1", "left out: the first hole's", "90"),
    "plate.handle_length": _K("Handle length", "from the middle of the disc to the end of the handle", "220"),
    "plate.handle_width": _K("Handle width", "of a paddle's handle", "40"),
    "plate.handle_angle": _K("Handle angle", "which way the handle points", "90"),
    "plate.center_distance": _K("Center distance", "between the discs of a figure-8", "300"),
    "plate.web_width": _K("Web width", "between the discs of a figure-8", "60"),
    "plate.inside_diameter": _K("Inside diameter", "of a ring made in parts", "300"),
    "plate.part_count": _K("Parts", "how many a ring is made in", "4"),
    "plate.first_joint_angle": _K("Angle of joint 1", "left out: midway between two holes", "0"),
    "plate.gap": _K("Gap", "left between neighboring parts", "3"),
    "plate.joint": _K("Joint", "how the parts are joined, for the sheet", '"butt welded"'),
    "plate.path.x": _K("X", "of the corner", "100"),
    "plate.path.y": _K("Y", "of the corner", "-60"),
    "plate.path.corner_radius": _K("Corner radius", "that rounds the corner", "12"),
    "plate.path.arc_radius": _K("Arc radius", "of the arc that leads to the corner; left out: a line", "80"),
    "plate.path.turn": _K("Turn", "which way the arc bends", '"left"'),
    "plate.path.long_way": _K("The long way", "true for the arc of more than half a circle", "true"),
}
_CIRCLE = {
    "bolt_circle.name": _K("Name", "what the shop calls it", '"pump side"'),
    "bolt_circle.standard": _K("Standard", "fills what is not written beside it", '"EN 1092-1 PN16 DN150"'),
    "bolt_circle.diameter": _K(
        "Circle diameter", 'center to center across; or "measured", or "nearest standard", from the readings', "240"
    ),
    "bolt_circle.hole_count": _K("Holes", "places on the circle, left-out ones included", "8"),
    "bolt_circle.hole_diameter": _K("Hole diameter", "left out: from the standard, or from the bolt and its fit", "22"),
    "bolt_circle.placement": _K("Placement", "how the holes stand to the centerline", '"straddle"'),
    "bolt_circle.centerline": _K("Centerline", "the one that the placement means", '"vertical"'),
    "bolt_circle.start_angle": _K("Turned by", "turns the whole circle counter-clockwise", "22.5"),
    "bolt_circle.skip": _K("Places left out", "numbers of places that are not drilled", "[3, 7]"),
    "bolt_circle.angles": _K("Angles", "of every hole, where the spacing is unequal", "[0, 50, 180, 230]"),
    "bolt_circle.pair_angle": _K("Pair angle", "between the two holes of a pair, where holes stand in pairs", "12"),
    "bolt_circle.spacing": _K(
        "Spacing",
        "measured: as the readings have it, hole 1 at 3 o'clock and turned by start_angle",
        '"measured"',
    ),
    "bolt_circle.differs": _K(
        "Meant to differ", "figures that are not the standard's on purpose; they are printed as such", '["diameter"]'
    ),
    "bolt_circle.mate_thickness": _K("Mate thickness", "of the part on the other side, for the bolt length", "24"),
    "bolt_circle.gasket_thickness": _K("Gasket thickness", "for the bolt length", "3"),
    "bolt_circle.fastener": _K("Fastener", "a bolt has one nut, a stud two; none: nothing is ordered", '"stud"'),
    "bolt_circle.washers": _K("Washers", "for each bolt", "2"),
    "bolt_circle.bolts_with": _K("Bolts with", "the part in whose bill the bolts of this circle are", '"MB-101"'),
    "bolt_circle.bolt_class": _K("Strength class", "of the bolts, for the torque; left out: as the bolt says", '"8.8"'),
    "bolt_circle.nut_factor": _K("Nut factor", "K of the torque, as the maker of the lubricant states it", "0.2"),
    "bolt_circle.lubrication": _K("Lubrication", "what that nut factor is for", '"dry, as received"'),
    "bolt_circle.bolt_load": _K("Bolt load", "as a share of the bolt's proof load, for the torque", "0.7"),
}
_EVERY_HOLE = {
    "kind": _K("Kind", "what is made of the hole", '"tapped"'),
    "fit": _K("Fit", 'of the bolt in its hole, fine to coarse; for a dowel its tolerance class, as "H7"', '"medium"'),
    "thread": _K("Thread", "of a tapped hole", '"M16"'),
    "tap_drill": _K("Tap drill", "where the table's will not do", "14"),
    "depth": _K("Thread depth", "of full thread, where the hole is blind", "24"),
    "seat_diameter": _K("Seat diameter", "of a counterbore, countersink or spotface", "33"),
    "seat_depth": _K("Seat depth", "of a counterbore", "17"),
    "seat_angle": _K("Seat angle", "of a countersink, the whole cone", "90"),
    "worked_from": _K("Worked from", "the face that recess, seat or thread are made from", '"back"'),
    "slot_length": _K("Slot length", "over all", "34"),
    "slot_along": _K("Slot runs along", "the circle, the radius, or a centerline", '"circle"'),
    "cut": _K(
        "On the cutting table",
        "what the table does with these holes; those to be tapped it marks if left out",
        '"center mark only"',
    ),
    "bolt": _K("Bolt", "what goes through", '"M20"'),
    "mates_with": _K("Mates with", "the part it bolts to, or its designation", '"EN 1092-1 PN16 DN150"'),
    "name": _K("Name", "what the shop calls it", '"vent"'),
    "hole_diameter": _K("Hole diameter", "left out: from the bolt and its fit", "18"),
}
_HOLES = {
    "hole.diameter": _K("Hole diameter", "left out: from the bolt and its fit", "14"),
    "hole.x": _K("X", "from the middle, to the right", "60"),
    "hole.y": _K("Y", "from the middle, upward", "-25"),
    "hole.radius": _K("Radius", "from the middle, where the place is given by radius and angle", "95"),
    "hole.angle": _K("Angle", "of its place", "45"),
    "hole_rectangle.width": _K("Width", "between the outer columns' centers", "220"),
    "hole_rectangle.height": _K("Height", "between the outer rows' centers", "140"),
    "hole_rectangle.columns": _K("Columns", "holes along the top, corners included", "4"),
    "hole_rectangle.rows": _K("Rows", "holes along the side, corners included", "3"),
    "hole_rectangle.x": _K("X", "of its middle", "0"),
    "hole_rectangle.y": _K("Y", "of its middle", "0"),
    "hole_rectangle.angle": _K("Turned by", "counter-clockwise about its middle", "15"),
    "hole_grid.columns": _K("Columns", "places in the first row", "12"),
    "hole_grid.rows": _K("Rows", "how many", "11"),
    "hole_grid.pitch": _K("Pitch", "between neighbors, both ways", "32"),
    "hole_grid.pitch_x": _K("Pitch in a row", "between neighbors of a row", "32"),
    "hole_grid.pitch_y": _K("Pitch of rows", "from row to row", "27.7"),
    "hole_grid.layout": _K("Layout", "rows in line, or every other one half a pitch in", '"staggered"'),
    "hole_grid.within_diameter": _K("Within", "circle that every hole lies whole inside of", "380"),
    "hole_grid.outside_diameter": _K("Outside of", "circle that every hole lies whole outside of", "90"),
    "hole_grid.x": _K("X", "of its middle", "0"),
    "hole_grid.y": _K("Y", "of its middle", "0"),
    "hole_rings.first_diameter": _K("First circle", "of the innermost ring; 0 for one hole in the middle", "60"),
    "hole_rings.ring_pitch": _K("Pitch of rings", "from circle to circle, along the radius", "25"),
    "hole_rings.ring_count": _K("Rings", "how many", "4"),
    "hole_rings.hole_pitch": _K("Pitch of holes", "along each circle, as near as whole holes allow", "26"),
    "hole_rings.hole_counts": _K("Holes on each ring", "from the inside", "[6, 12, 18]"),
    "opening.name": _K("Name", "what the shop calls it", '"window"'),
    "opening.shape": _K("Shape", "of the opening; each takes sizes of its own", '"slot"'),
    "opening.count": _K("Count", "copies round the middle of the plate", "6"),
    "opening.diameter": _K("Diameter", "of a circle", "60"),
    "opening.width": _K("Width", "of a rectangle or a slot", "40"),
    "opening.height": _K("Height", "of a rectangle", "30"),
    "opening.length": _K("Length", "over all, of a slot", "90"),
    "opening.corner_radius": _K("Corner radius", "of a rectangle or a window", "6"),
    "opening.inner_diameter": _K("Inner diameter", "of a window", "120"),
    "opening.outer_diameter": _K("Outer diameter", "of a window", "200"),
    "opening.sweep": _K("Sweep", "angle that a window takes", "40"),
    "opening.x": _K("X", "of its middle", "60"),
    "opening.y": _K("Y", "of its middle", "0"),
    "opening.radius": _K("Radius", "of its middle, where the place is given by radius and angle", "95"),
    "opening.angle": _K("Angle", "of its place", "30"),
}
_MATE = {
    "mate.name": _K("Name", "what the shop calls it", '"motor"'),
    "mate.circle": _K("Circle", "the one it bolts to, by letter, number or name; left out: the only one", '"B"'),
    "mate.face": _K("Lies on", "left out: the first circle's mate on the face, any other's on the back", '"back"'),
    "mate.standard": _K("Standard", "its designation; fills what is not written beside it", '"IEC 60072-1 FF215"'),
    "mate.job": _K("Job", "path of its own job file, which fills what is not written beside it", '"pump.toml"'),
    "mate.outside_diameter": _K("Outside diameter", "of the mate", "250"),
    "mate.thickness": _K("Thickness", "through its bolt holes, for the length of the bolts", "16"),
    "mate.bore": _K("Bore", "opening where it lies on the plate; left out: none, or the standard's", "150"),
    "mate.hub_diameter": _K("Hub diameter", "of the hub or pipe on its other side", "168.3"),
    "mate.raised_face_diameter": _K("Raised face diameter", "of the face that lies on the plate", "212"),
    "mate.spigot_diameter": _K("Spigot diameter", "of what stands out of its face", "180"),
    "mate.spigot_height": _K("Spigot height", "how far that stands out", "4"),
    "mate.spigot_fit": _K("Spigot fit", "class of the spigot by ISO 286", '"j6"'),
    "mate.hole_diameter": _K("Hole diameter", "of its bolt holes", "14.5"),
    "mate.thread": _K("Thread", "of its tapped holes", '"M12"'),
    "mate.thread_depth": _K("Thread depth", "of full thread, where they are blind", "20"),
    "mate.clocking": _K(
        "Clocking", "most metal: its circle is turned for the most metal to the next one", '"most metal"'
    ),
    "mate.gasket_thickness": _K("Gasket thickness", "between it and the plate; 0 for none", "2"),
}
_TURNED = {
    "turned.kind": _K("Kind", "what is turned round the middle of a face", '"register"'),
    "turned.name": _K("Name", "what the shop calls it", '"motor spigot"'),
    "turned.face": _K("Face", "the one the drawing is seen from, or the back", '"back"'),
    "turned.diameter": _K("Diameter", "across its outer wall", "180"),
    "turned.depth": _K("Depth", "of a recess, register or groove, from the surface just outside of it", "5"),
    "turned.height": _K("Height", "of a spigot or raised face, above the surface just outside of it", "4"),
    "turned.inner_diameter": _K("Inner diameter", "across its inner wall; left out: to the middle or the bore", "150"),
    "turned.width": _K("Width", "of a groove, along the radius", "4"),
    "turned.fit": _K("Fit", "class of its diameter by ISO 286, a hole's of a recess, a shaft's of a spigot", '"H7"'),
}
_SURVEY = {
    "survey.hole_count": _K("Holes", "counted on the flange", "8"),
    "survey.hole_diameter": _K("Hole diameter", "as measured; left out: the bolt circle's", "18.1"),
    "survey.drilling_tolerance": _K("Drilling tolerance", "what a made circle may be off; left out: its family's", "1"),
    "survey.family": _K("Kind of part", "that alone is looked for; left out: every kind", '"pipe flange"'),
    "survey.home_made": _K("Home-made share", "of parts whose drilling is in no table, 0 to 1", "0.3"),
    "survey.hole_scatter": _K(
        "Hole scatter, ±", "what holes of this part may be out of place; left out: 0.24 mm, good work", "0.8"
    ),
    "survey.scale_within": _K("Scale good to, ±", "percent that a picture's or a print's scale may be off", "0.5"),
    "survey.use_anyway": _K(
        "Use anyway", "draw by readings that contradict each other or are suspect; the sheet says so", "true"
    ),
    "survey.reading.kind": _K("Kind", "from where to where the caliper was held", '"centers"'),
    "survey.reading.value": _K("Reading", "what the caliper said", "80.4"),
    "survey.reading.from": _K("From hole", "its number", "1"),
    "survey.reading.to": _K("To hole", "its number", "2"),
    "survey.reading.pitches": _K("Pitches apart", "where no hole is named", "4"),
    "survey.reading.within": _K("Good to, ±", "left out: usual for the kind of reading", "0.2"),
    "survey.reading.scale": _K("Scale", "name of the picture or print it is off; one unknown scale each", '"photo 1"'),
    "survey.reading.shared": _K(
        "Shared errors",
        "what one standard deviation of each error shared by its scale's readings moves it",
        "[0.03, 0]",
    ),
    "survey.reading.set_aside": _K("Set aside", "kept and told, but the circle is found without it", "true"),
}
_TOLERANCES = {
    "tolerances.bolt_circle": _K("Tolerance of the bolt circle", "of its diameter, plus and minus", "0.5"),
    "tolerances.chord": _K("Tolerance of the chord", "of any two holes of a circle, plus and minus", "0.3"),
    "tolerances.position": _K("Position", "diameter of each hole's zone; left out: hole less bolt", "1"),
    "tolerances.maximum_material": _K("Maximum material", "whether a larger hole widens its zone", "true"),
    "tolerances.hole_plus": _K("Hole may be larger by", "of drilled holes", "0.4"),
    "tolerances.hole_minus": _K("Hole may be smaller by", "of drilled holes", "0"),
    "tolerances.outside_plus": _K("Outside may be larger by", "of the outside diameter", "1"),
    "tolerances.outside_minus": _K("Outside may be smaller by", "of the outside diameter", "1"),
    "tolerances.bore_plus": _K("Bore may be larger by", "of its diameter; of a ring in parts, of the inside", "0.3"),
    "tolerances.bore_minus": _K("Bore may be smaller by", "of its diameter; of a ring in parts, of the inside", "0"),
    "tolerances.thickness_plus": _K("Plate may be thicker by", "over all", "0.5"),
    "tolerances.thickness_minus": _K("Plate may be thinner by", "over all", "0.3"),
    "tolerances.general": _K("General tolerance", "of sizes that state none", '"ISO 2768-1 m"'),
    "tolerances.block": _K(
        "Shop's own block",
        'lines of what = how much; .XX holds sizes written as text, "11.00"',
        '[".XX = ±.03", ".XXX = ±.015"]',
    ),
    "tolerances.cut_edges": _K("Cut edges", "their quality, as it is written", '"ISO 9013-342"'),
    "tolerances.texture": _K("Surface", "as it is written", '"gasket face Ra 3.2"'),
    "tolerances.edges": _K("Edges", "what is done to them", '"break 0.5"'),
}
_CHECKS = {
    "checks.ligament": _K("Metal between holes", "the least that passes", "10"),
    "checks.edge": _K("Metal to the edge", "the least that passes", "8"),
    "checks.bore": _K("Metal to the bore", "the least that passes, to other openings too", "8"),
    "checks.hub_diameter": _K("Hub diameter", "of the hub or pipe on the side of the nuts", "168.3"),
    "checks.weld": _K("Weld leg", "of the fillet round the hub", "8"),
    "checks.wrench": _K("Wrench", "what the nuts are turned with", '"socket"'),
    "checks.nuts_on": _K("Nuts on", "the face they bear on", '"back"'),
    "checks.washers": _K("Washers", "true where washers stand under the nuts", "true"),
    "checks.gasket_factor": _K("Gasket factor", "m of the gasket, for the greatest bolt spacing", "2.75"),
    "checks.bolt_spacing": _K("Bolt spacing", "the greatest that passes", "110"),
    "checks.thread_engagement": _K("Thread engagement", "the least, as a multiple of the thread's diameter", "1.5"),
    "checks.hand_lift": _K("Lifted by hand", "the most, in kg, or lb beside inches; 25 kg if left out", "20"),
    "checks.off": _K("Checks left out", "by name", '["wrench-room"]'),
}
_CUT = {
    "cut.units": _K("Unit of the DXF", "left out: the job's", '"in"'),
    "cut.process": _K("Process", "how the contours are cut", '"plasma"'),
    "cut.smallest_hole": _K("Smallest hole", "that the process cuts well", "8"),
    "cut.smallest_hole_per_thickness": _K("Smallest hole by thickness", "as a multiple of the thickness", "1.5"),
    "cut.small_holes": _K("Smaller holes", "what the table does with holes below that", '"center mark only"'),
    "cut.undersize": _K("Undersize", "what is left for the drill on the diameter", "3"),
    "cut.kerf": _K("Kerf", "width of the cut, taken up by the file; 0: the controller's", "1.5"),
    "cut.lead_in": _K("Lead-in", "radius of the arc from the pierce to the contour; length if straight", "6"),
    "cut.lead_out": _K("Lead-out", "radius of the arc beyond the contour's end; length if straight", "2"),
    "cut.lead_shape": _K("Shape of leads", "how the cutter comes to the contour and leaves it", '"straight"'),
    "cut.overcut": _K("Overcut", "how far the cut runs on over its beginning", "2"),
    "cut.tabs": _K("Tabs", "that hold each part and the waste of its openings in the plate; 0: none", "3"),
    "cut.tab_width": _K("Width of tabs", "of the metal that is left at each", "1"),
    "cut.dxf_version": _K("DXF version", "R2000 reads almost everywhere", '"R12"'),
    "cut.marks": _K("Marks", "what is scribed on the plate", '["centers", "part number"]'),
    "cut.mark_height": _K("Height of marks", "of scribed letters", "10"),
}
_LAYER_WORDS = {"holes": "the holes", "bore": "the bore", "outline": "the outline", "marks": "the marks"}
_LAYERS = {
    f"cut.layers.{part}": _K(f"Layer of {words}", "name that the machine expects", '"PROFILE"')
    for part, words in _LAYER_WORDS.items()
} | {
    f"cut.colors.{part}": _K(f"Color of {words}", "number of the DXF color index", "3")
    for part, words in _LAYER_WORDS.items()
}
_MACHINE = {
    "machine.files": _K("Files", "what is written for drilling machines", '["readout", "drilling program"]'),
    "machine.units": _K("Units", "of these files; left out: the job's", '"in"'),
    "machine.zero": _K("Zero", "where coordinates count from", '"corner"'),
    "machine.head": _K("Dividing head", "by name", '"40:1"'),
    "machine.ratio": _K("Ratio", "turns of the crank for one of the head", "40"),
    "machine.plates": _K("Index plates", "holes of each circle of each plate", "[[15, 16, 17, 18, 19, 20]]"),
    "machine.table_ratio": _K("Rotary table ratio", "turns of the handle for one of the table", "90"),
    "machine.safe_height": _K("Safe height", "above the plate, for traveling", "25"),
    "machine.clearance": _K("Clearance", "above the plate, where the feed begins", "2"),
    "machine.depth": _K("Depth", "of drilling; left out: through the plate", "24"),
    "machine.peck": _K("Peck", "depth between two withdrawals", "5"),
    "machine.feed": _K("Feed", "per minute", "80"),
    "machine.speed": _K("Speed", "of the spindle, turns per minute", "300"),
}
_PAPER = {
    "template.paper": _K("Template paper", 'or "one sheet", or "roll"', '"A4"'),
    "template.roll_width": _K("Roll width", "of the paper", "610"),
    "template.overlap": _K("Template overlap", "strip that neighboring tiles share", "10"),
    "template.margin": _K("Template margin", "free edge that the printer leaves", "12"),
    "template.style": _K("Template style", "tiles, one sector to step round, or strips", '"sector"'),
    "template.printer": _K("Printer", "a measured one, which the pages are corrected for", '"office"'),
    "template.flip_tiles": _K("Flip tiles", "true: every other tile is printed upside down", "true"),
    "sheet.paper": _K("Sheet paper", "left out: A4 for mm, Letter for inches", '"A3"'),
    "sheet.convention": _K("Drawing rules", "left out: ISO for mm, ASME for inches", '"ISO"'),
    "sheet.border": _K("Border", "a name, or a path beside the job file", '"iso"'),
    "sheet.parts": _K("Further sheets", "what stands on them; left out: the check card", '["check card", "bill"]'),
    "sheet.dual_units": _K("Both units", "true: the other unit follows in brackets", "true"),
}
_DERIVED = {
    "derived.part": _K("Derived part", "what the part is to the one that it was derived from", '"blind"'),
    "derived.parent": _K("Derived from", "job number of the part that it was derived from", '"MB-101"'),
    "derived.revision": _K("Revision then", "of the part that it was derived from", '"B"'),
    "derived.file": _K("File derived from", "job file of that part, as seen from this file", '"MB-101.toml"'),
    "derived.digest": _K("Digest then", "of that part; another one now means that it has changed", '"7107dfec31..."'),
}
_SHOP = {
    "shop.rates.money": _K("Money", "what the shop calls its money", '"crowns"'),
    "shop.rates.stated": _K("Stated", "when or by whom the rates were stated", '"the office, November 2026"'),
    "shop.rates.plate_per_kg": _K("Price of plate", "money for a kilogram of the blank", "1.9"),
    "shop.rates.cutting_speed": _K("Cutting speed", "length cut in a minute", "600"),
    "shop.rates.pierce": _K("Piercing", "seconds for each pierce", "2"),
    "shop.rates.scribing_speed": _K("Scribing speed", "length of marks scribed in a minute", "1500"),
    "shop.rates.set_up": _K("Set-up", "minutes once for a job that is drilled or turned", "15"),
    "shop.rates.drill": _K("Drilling", "minutes for each hole drilled", "1.5"),
    "shop.rates.slot": _K("Slots", "minutes for each slot milled", "4"),
    "shop.rates.tap": _K("Tapping", "minutes for each hole tapped", "2"),
    "shop.rates.seat": _K("Seats", "minutes for each hole with a seat", "2"),
    "shop.rates.ream": _K("Reaming", "minutes for each hole reamed", "3"),
    "shop.rates.turn": _K("Turning", "minutes for each face turned", "12"),
    "shop.rates.deburr": _K("Deburring", "minutes for each part", "5"),
    "shop.rates.mark": _K("Marking", "minutes for each part that is marked by hand", "3"),
    "shop.rates.inspect": _K("Inspecting", "minutes for each part", "8"),
    "shop.rates.table_hour": _K("Hour of the cutting table", "money for an hour", "60"),
    "shop.rates.machine_hour": _K("Hour of the drilling machine", "money for an hour", "48"),
    "shop.rates.lathe_hour": _K("Hour of the lathe", "money for an hour", "52"),
    "shop.rates.bench_hour": _K("Hour at the bench", "money for an hour", "40"),
}
_WORDS = {
    **_JOB,
    **_PLATE,
    **_CIRCLE,
    **_HOLES,
    **_TURNED,
    **_MATE,
    **_SURVEY,
    **_TOLERANCES,
    **_CHECKS,
    **_CUT,
    **_LAYERS,
    **_MACHINE,
    **_PAPER,
    **_DERIVED,
    **_SHOP,
}


def key_words(key: str) -> KeyWords | None:
    """The words of a dotted key such as ``bolt_circle.diameter``; ``None`` for a key without any."""
    return _WORDS.get(key) or _EVERY_HOLE.get(key.rpartition(".")[2])
