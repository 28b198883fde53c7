"""What is said of holes that were found in pictures."""

from flangelayout.units import Unit, counted, decimal_text
from flangelayout.views.words.origins import NOT_YET_TRIED
from flangelayout.vision.finds import Finds, Qualm

NOT_TRIED = f"{NOT_YET_TRIED.capitalize()}."
DOUBTS = {
    Qualm.ONE_PHOTO: "one photo cannot tell how high the cards lie over the rims, which widens the band: take two "
    "more, tilted 20 to 25 degrees from different sides",
    Qualm.TWO_PHOTOS: "with two photos a bad one cannot be noticed: take a third from another side",
    Qualm.SAME_TILT: "all photos look from the same side, which widens the band: tilt two of them 20 to 25 degrees",
    Qualm.SMALL_PICTURE: "the photos are small, as a messenger makes them: use the originals, by cable or cloud",
    Qualm.CARDS_HIGH: "the cards lie clearly above the rims: right for thick cards only; with paper, look whether they "
    "lie on a raised face",
    Qualm.CARDS_LOW: "the cards lie clearly below the rims: look whether studs or washers were taken for holes",
    Qualm.CARDS_UNEVEN: "one card lies clearly higher or lower than the others: lay it flat on the same face",
    Qualm.RIMS_IN_PART: "rims are to be seen in part only, as of slots, burrs or in glare: look at every one",
    Qualm.DIAMETER_DIFFERS: "the rims look unlike the caliper's hole diameter: look whether the lines follow the rims",
    Qualm.LENS_UNKNOWN: "the files do not say which lens took them; if they were cropped, the figures are wrong",
    Qualm.SCANNER_UNMEASURED: "nobody measured this scanner: scan the measured page of cards with it once",
    Qualm.GASKET_CREEPS: "an old gasket creeps and was often punched by hand: it tells which standard, not where to "
    "drill",
    Qualm.RUBBING_SLIPS: "paper slips and stretches under the crayon: it tells which standard, not where to drill",
    Qualm.SCALE_UNKNOWN: "nobody measured how true the cards are printed: tell what the bars read, or read one "
    "chord between two numbered holes",
}


def finds_lines(finds: Finds, unit: Unit) -> tuple[str, ...]:
    """What was found, in plain lines."""
    size = f"{decimal_text(finds.diameter_seen, unit)} {unit.value}"
    lines = [f"{counted(len(finds.holes), 'hole')} found; by the picture {size} wide: shown only, the caliper's counts"]
    if finds.rim_height is not None and finds.residual is not None:
        height, sigma = finds.rim_height
        side = "below" if height < 0 else "above"
        lines.append(
            f"rims {decimal_text(abs(height), unit)} ± {decimal_text(2 * sigma, unit)} {unit.value} {side} the cards; "
            f"cards fit together to {finds.residual:.2f} pixels; "
            f"tilts {', '.join(f'{tilt:.0f}' for tilt in finds.tilts)} degrees"
        )
    return (*lines, *(f"note: {DOUBTS[doubt]}" for doubt in finds.doubts), NOT_TRIED)
