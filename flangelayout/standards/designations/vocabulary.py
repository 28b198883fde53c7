"""Words of the trade in five languages: those that mean a term, and those that do not change a drilling."""

import re
from functools import cache

_NUMBER_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_MEANINGS: tuple[tuple[str, str], ...] = (
    (r"zoll|pouces?|pulgadas?|pulg\.?|polegadas?|pol\.?", "in"),
    (r"klasse|classe|clase|kl\.?(?=\s*\d)", "class"),
    (r"pfund|livres?|libras?", "lb"),
    (r"loch|locher|lochern|bohrungen|bohrung|trous?|agujeros?|taladros?|furos?|foros?|percages?", "holes"),
    (r"schrauben|boulons?|pernos?|tornillos?|parafusos?", "bolts"),
    (r"tabelle|tableau|tabla|tabela", "table"),
    (r"nennweite|nominal size|dia?metre nominal|diametro nominal|diameter nominal|nominal bore", "dn"),
    (r"nenndruck|druckstufe|pression nominale|presion nominal|pressao nominal", "pn"),
    (
        r"teilkreis|lochkreis|lk|entraxe|circulo de (?:pernos|furos)|pitch circle|bolt circle|b\.?c\.?(?=\s|$)"
        r"|p\.c\.d\.?",
        "pcd",
    ),
    (r"b\.c\.d\.?", "bcd"),
    (r"bell\s?housing", "housing"),
    (r"flex\s?plate|clutch", "flywheel"),
    (r"nw (?=\d)", "nw"),
    (r"nd (?=\d)", "nd"),
    (r"kgf?\s?/?\s?cm\s?[2²]?", "k"),
    (r"number|nr\.?(?=\s*\d)|no\.?(?=\s*\d)", "no "),
)
_DROPPED = (
    # what it is
    *("flanges?", "flgs?", "flngs?", "flansche?n?", "brides?", "bridas?", "flangias?", "flangie", "flens", "flensen"),
    *("blind", "blinds", "blank", "blanks", "blindflansch", "vorschwei(?:ss|b)flansch", "losflansch", "glattflansch"),
    *("gewindeflansch", "spectacle", "spade", "spacer", "ring", "plate", "counter ?flange", "companion", "orifice"),
    *(
        "pattern",
        "drilling",
        "drilled",
        "drill",
        "template",
        "gasket",
        "spool",
        "valve",
        "gate",
        "nozzle",
        "pipe",
        "tube",
    ),
    *("aveugle", "pleine?", "ciega?", "ciego", "cega?", "cego", "size", "nominal", "standard", "std"),
    # how it is joined
    *(
        "wn",
        "wnrf",
        "rfwn",
        "wnrtj",
        "wnff",
        "so",
        "sorf",
        "rfso",
        "soff",
        "sw",
        "swrf",
        "rfsw",
        "lj",
        "ljrf",
        "ljf",
        "lwn",
    ),
    *(
        "blrf",
        "rfbl",
        "blff",
        "bl",
        "thd",
        "thrd",
        "scrd",
        "screwed",
        "threaded",
        "npt",
        "bsp",
        "bspt",
        "sop",
        "soh",
        "sopf",
    ),
    *(
        "slip[ -]?on",
        "weld(?:ing)?[ -]?neck",
        "weldneck",
        "socket[ -]?weld",
        "lap[ -]?joints?",
        "loose",
        "backing",
        "hubbed",
    ),
    *(
        "stub[ -]?end",
        "long weld neck",
        "reducing",
        "welding",
        "weld",
        "welded",
        "soudee?",
        "soldar",
        "soldada",
        "roscada",
    ),
    # its face
    *(
        "rf",
        "rff",
        "ff",
        "rtj",
        "rj",
        "raised",
        "flat",
        "full",
        "face",
        "faced",
        "facing",
        "tongue",
        "groove",
        "smooth",
    ),
    *(
        "serrated",
        "finish",
        "stock finish",
        r"r-?\d{2,3}",
        r"form [a-h]\d?",
        r"type \d{1,2}(?:/?[a-h]\d?)?",
        r"typ \d{1,2}",
        r"(?<=; )/\d{2}\b",
    ),
    # its pipe
    *(r"sch(?:edule)?\.? ?\d{1,3}s?", "sch", "xs", "xxs", "xh", r"std wt"),
    # its material
    *(
        "carbon",
        "steel",
        "stainless",
        "forged",
        "ductile",
        "bronze",
        "brass",
        "alumini?um",
        "pvc",
        "upvc",
        "cpvc",
        "hdpe",
    ),
    *(
        "cs",
        "ss",
        "ms",
        r"ss ?3(?:04|16)l?",
        r"(?<![\d.])3(?:04|16|21)[hl]?(?![\d.])",
        r"[sf]?a-? ?(?:105|182|350|516|36)n?\b",
    ),
    *(
        r"f ?(?:304|316)l?\b",
        r"lf ?2\b",
        r"1\.4\d{3}",
        r"s235(?:jr)?",
        r"s355(?:j2)?",
        r"p2\d5gh",
        r"p2\d5nh",
        "c22\\.8",
        "rst37-2",
    ),
    *(r"gr(?:ade)? ?\d{2}", "galvani[sz]ed", "stahl", "edelstahl", "acier", "inox", "acero", "aco"),
    # what a bicycle's is on
    *("track", "cranks?", "crankset", "spider"),
    # when it was published
    r"(?:edition|ed\.|issue|ausgabe) ?(?:19|20)\d\d",
    r"\((?:19|20)\d\d\)",
    r"(?:19|20)\d\d edition",
)
_IDLE = (
    *("mm", "to", "the", "of", "and", "with", "for", "mit", "pour", "para", "con", "de", "von", "und", "et"),
    *("pcd", "x", "on", "dia", "diameter", "inch", "no"),
)


def in_our_words(text: str) -> str:
    """A plain text with the words of other languages and other spellings in those the tables are read by."""
    for pattern, word in _meanings():
        text = pattern.sub(word, text)
    return _NUMBERS.sub(lambda match: str(_NUMBER_WORDS.index(match[1]) + 1), text)


def dropped(text: str) -> tuple[str, tuple[str, ...]]:
    """A plain text without the words that do not change a drilling, and those words in the order written."""
    said = tuple(match[0] for match in _dropped_words().finditer(text))
    return " ".join(_dropped_words().sub(" ", text).split()), said


def is_idle(word: str) -> bool:
    """Whether a word says nothing at all."""
    return word in _IDLE


_NUMBERS = re.compile(rf"\b({'|'.join(_NUMBER_WORDS)})\b(?=[\s-]*(?:in\b|inch|holes?|bolts?|lugs?|studs?|arms?|\"))")


@cache
def _meanings() -> tuple[tuple[re.Pattern[str], str], ...]:
    return tuple((re.compile(rf"(?<![a-z])(?:{pattern})(?![a-z])"), word) for pattern, word in _MEANINGS)


@cache
def _dropped_words() -> re.Pattern[str]:
    """One expression for all of them; the longer ones first."""
    return re.compile(rf"(?<![a-z.])(?:{'|'.join(sorted(_DROPPED, key=lambda each: (-len(each), each)))})(?![a-z\d])")
