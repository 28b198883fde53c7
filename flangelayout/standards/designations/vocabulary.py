"""Words of the trade in five languages: those that mean a term, and those that do not change a drilling."""

import re
from functools import cache

_NUMBER_WORDS = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")
_MEANINGS: tuple[tuple[str, str], ...] = (
    (r"half(?=[ -]?in)", "0.5"),
    (r"zoll(?:ig(?:e[rsn]?)?)?|pouces?|pulgadas?|pulg\.?|polegadas?|pol\.?|pollic[ei]|duim|po", "in"),
    (r"klasse|classe|clase|kl\.?(?=\s*\d)|series?(?=\s*\d{3,4}(?!\d))", "class"),
    (r"(?:tab|tbl|t)[./ ]*(?=(?:6|10|16|25|40)00(?!\d))", "table "),
    (r"(?<!1123 )table[ /]*(6|10|16|25|40)(?:00(?:/\d)?|/\d)", r"pn \1"),
    (r"np(?=\s?\d)", "pn"),
    (r"bst(?=\s?[a-j]\b)", "bs 10 table"),
    (r"c\s?6([12])(?!\d)", r"code 6\1"),
    (r"conflat", "cf"),
    (r"(?<![\d.x])(2|3|5|10|15|20)\s?m(?!\d)", r"\g<1>000 psi"),
    (r"(?<![\d.])(\d+)psi", r"\1 psi"),
    (r"(\d{2,3})\s?/\s?(\d{2,3})(t?s?c)", r"\1\3 \2\3"),
    (r"moteurs?|motore|motores", "motor"),
    (r"felgen?|jantes?|llantas?|cerch(?:io|ione|i)|velgen?", "wheel"),
    (r"kettenbl(?:att|atter)|plateau", "chainring"),
    (r"branches|armig", "arms"),
    (r"pfund|livres?|libras?|libbre", "lb"),
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
    (r"(?<!\d)(?<!\d )#\s?(?=[0-6](?!\d))", "no "),
    (r"number|nr\.?(?=\s*\d)|no\.?(?=\s*\d)", "no "),
)
_DROPPED = (
    # what it is
    *(
        "flanges?",
        "flgs?",
        "flngs?",
        "[a-z]*flansche?n?",
        "brides?",
        "bridas?",
        "flangias?",
        "flangie",
        "[a-z]*flens(?:en)?",
    ),
    *("blind", "blinds", "blank", "blanks", "blindflansch", "kolnierz"),
    *(
        "spectacle",
        "split",
        "rating",
        "rated",
        "frame",
        r"fig(?:ure)?\.? ?(?:8|eight|b\d)",
        "spade",
        "spacer",
        "ring",
        "plate",
        "counter ?flange",
        "companion",
        "orifice",
    ),
    *(
        "(?:bolt |stud |lug )?pattern",
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
    *("aveugle", "pleine?", "ciec[ao]", "ciega?", "ciego", "cega?", "cego", "size", "nominal", "standard", "std"),
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
        "thr'?d",
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
        r"a(?= (?:soud|coll|emboit|viss|sald))",
        "souder",
        "collerette",
        "emboiter",
        "tournante",
        "taraudee",
        "plate",
        "cuello",
        "deslizante",
        "loc[ao]",
        "plan[ao]",
        "lis[ao]",
        "sobrepost[ao]",
        "solt[ao]",
        "pescoco",
        "piana",
        "collarino",
        "libera",
        "girevole",
        "filettata",
        "saldare",
        "sovrapposizione",
        "glatte[rsn]?",
        "lose[rs]?",
        "vlakke?",
        "losse",
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
        r"(?:form )?b[12]",
        r"form [a-h]\d?",
        r"typ[eo]? ?\d{1,2}(?:[ /]?[a-h]\d?)?",
        r"t?1[1-5] ?[a-h][12]",
        r"(?<=; )/? ?(?:0[1-5]|1[1-5]|21|3[2-7])(?: ?/ ?[a-h]\d?|(?= ?/)|(?<=/\d\d))",
    ),
    # its pipe
    *(r"sch(?:edule)?\.? ?\d{1,3}s?", "sch", "xs", "xxs", "xh", r"std wt", r"s[/-]\d{2,3}s?"),
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
        r"ss ?(?:3(?:04|16)l?|400)",
        r"v[24]a",
        "ci",
        "di",
        "astm",
        "aisi",
        r"(?<![\d.])3(?:04|16|21)[hl]?(?![\d.])",
        r"[sf]?a-? ?(?:105|182|350|516|36)n?\b",
    ),
    *(
        r"f ?(?:304|316)l?\b",
        r"lf ?2\b",
        r"1\.4\d{3}",
        r"s235(?:jr)?",
        r"s355(?:j2)?",
        r"p2\d[05]gh",
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
    *("pcd", "x", "on", "dia", "diameter", "inch", "in", "no"),
)


_OTHER_JOINTS = (
    *(
        "camlock",
        "storz",
        "triclamp",
        "clamp",
        "ferrule",
        "union",
        "grooved",
        "guillemin",
        "bayonet",
        "kupplung",
        "raccord",
    ),
    *(
        "oval",
        "ovale",
        "square",
        "quadrat",
        "quadratisch",
        "carre",
        "carree",
        "rectangular",
        "rechteckig",
        "elliptical",
    ),
    *("thin", "light", "heavy", "special", "custom", "tri", "kf", "vcr", "kwik", "nor", "not", "except"),
)


_TERMS = (
    *("pn", "dn", "nps", "nb", "nw", "nd", "class", "cl", "table", "tab", "lb", "lbs", "pound", "pounds", "psi", "bar"),
    *("kg", "code", "series", "bcd", "pcd", "holes", "hole", "bolt", "bolts", "lug", "lugs", "stud", "studs", "arms"),
    *("inches", "by", "or", "between", "from", "module", "tapped", "offset", "half", "double", "less", "plus", "minus"),
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


def speaks_of_more(word: str) -> bool:
    """Whether an unknown word says more than these tables hold: another joint or shape, or a bare term."""
    return word in _OTHER_JOINTS or word in _TERMS


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
