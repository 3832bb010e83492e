"""Words round a figure that say how sure it is, or what it is the size of: "approx 12 mm", "2h+", "hex 12 mm".

Shop usage; the signs of a drawing (Ø, SR, □, t=) after ISO 129-1. Each pattern is of plain text: what may stand before
the figure and what may stand behind it.
"""

import re
from dataclasses import dataclass

from calcs.messages import gettext_noop

ROUGH_BEFORE = (
    r"~+|(?:approx(?:imately)?|appr|abt|about|around|roughly|circa|ca|c|say|nearly|almost|maybe|perhaps|probably"
    r"|est(?:imated)?|guess|just (?:over|under)|a (?:bit|little|shade) (?:over|under)|not quite)\b\.?"
)
ROUGH_BEHIND = (
    r"~+|-?\bish\b|(?<=\d)ish\b|\b(?:approx(?:imately)?|appr|abt|about|roughly|or so|or thereabouts|give or take)\b\.?"
    r"|\b(?:at a guess|maybe|perhaps|probably|i (?:think|guess|reckon))\b"
    r"|\?|\((?:rough(?:ly)?|guess(?:ed)?|est(?:imated?)?\.?)\)"
)
LEAST_BEFORE = (
    r">=?|(?:at least|min(?:imum)?|(?:well )?over|(?:no|not) less than|more than|upwards of|a good|a full)\b\.?"
)
LEAST_BEHIND = r"\+[+ ]*|\b(?:or more|or over|or longer|and up|and over|plus|at least|minimum)\b|(?<=[a-z\"]) min\b\.?"
MOST_BEFORE = r"<=?|(?:at (?:the )?most|max(?:imum)?|up to|under|below|less than|(?:no|not) more than)\b\.?"
MOST_BEHIND = r"\b(?:or less|or under|at (?:the )?most|max(?:imum)?)\b\.?"

_REST = r"(?=[\d.½ør(]|[a-z])"


def around(before: str, behind: str) -> re.Pattern[str]:
    """What matches a text with either of the two round it; its only group that matched is what stands inside."""
    return re.compile(rf"(?:{before})\s*{_REST}(.+)|(.+?),?\s*(?:{behind})")


def behind_unit(plain: str) -> str:
    """The text with a plus behind the unit where it stood before one: "3+ hrs" as "3 hrs+"."""
    return re.sub(r"^([^+]*\d)\s?\+\s*([a-z\"']+\.?)$", r"\1 \2+", plain)


def without_brackets(plain: str) -> str:
    """The text with words in brackets behind it as plain ones: "3.5 mm (ref)" as "3.5 mm ref"."""
    return re.sub(r"(?<=\S)\s*[(\[]([a-z][a-z/. ]*)[)\]]$", r" \1", plain)


@dataclass(frozen=True)
class Meaning:
    """Words round a size: what it is the size of (or "" for a mere remark), and the sentence that says so."""

    pattern: re.Pattern[str]
    of: str
    note: str


_DIA = r"dia(?:m|meter)?\b\.?"
_TABLE = (
    (
        "outside diameter",
        rf"o\.?[/ ]?d\b\.?|(?:outside|outer|external) {_DIA}",
        "",
        gettext_noop("an outside diameter"),
    ),
    (
        "inside diameter",
        rf"i\.?[/ ]?d\b\.?|(?:inside|inner|internal) {_DIA}|bore\b",
        "",
        gettext_noop("an inside diameter"),
    ),
    (
        "pitch circle diameter",
        rf"p\.?c\.?d\b\.?|b\.?c\.?d\b\.?|(?:pitch|bolt) circle(?: {_DIA})?",
        "",
        gettext_noop("the diameter of a pitch circle"),
    ),
    ("spherical diameter", r"sø|sphere ø", "", gettext_noop("the diameter of a sphere")),
    ("spherical radius", r"sr(?![a-z])|sph(?:erical)? rad(?:ius)?\b\.?", "", gettext_noop("the radius of a sphere")),
    (
        "diameter",
        rf"ø|d ?=|{_DIA}(?: of)?|rd\.?(?= ?[\d.])|ream(?:ed)?\b",
        rf"ø|(?:(?<=mm )in )?{_DIA}|\b(?:round|rd|rod|wire|drill(?:ed)?|ream(?:ed|er)?)\b\.?",
        gettext_noop("a diameter"),
    ),
    (
        "across corners",
        r"a/c\b|across (?:the )?corners\b",
        r"a/c\b|\bacross (?:the )?corners\b",
        gettext_noop("across the corners"),
    ),
    (
        "across flats",
        r"a/?f\b|across (?:the )?flats\b|hex(?:agon)?(?: a/?f| bar)?\b",
        r"a/?f\b|\bacross (?:the )?flats\b|\b(?:a/?f )?hex(?:agon)?(?: a/?f| bar)?\b",
        gettext_noop("across the flats"),
    ),
    ("square", r"□|sq(?:uare)?\b\.?(?= ?[\d.])", r"\bsq(?:uare)?\b\.?", gettext_noop("the side of a square")),
    ("radius", r"r(?=[\d. ])|r ?=|rad(?:ius)?\b\.?", r"(?<![a-z])r\b|\brad(?:ius)?\b\.?", gettext_noop("a radius")),
    (
        "chamfer",
        r"c(?=\d)|cham(?:fer)?\b\.?",
        r"x ?45 ?(?:o|deg)\b\.?|\bcham(?:fer)?\b\.?",
        gettext_noop("a chamfer of 45°"),
    ),
    (
        "thickness",
        r"t ?=|t(?=\d)|thick(?:ness)?\b|wall\b",
        r"\b(?:thick(?:ness)?|thk|plate|sheet|wall)\b\.?",
        gettext_noop("a thickness"),
    ),
    ("width", r"w ?=|wide\b|width\b", r"\b(?:wide|width)\b", gettext_noop("a width")),
    ("depth", r"↧|deep\b|depth\b", r"\b(?:deep|depth|dp)\b\.?", gettext_noop("a depth")),
    ("height", r"h ?=|high\b|height\b", r"\b(?:high|tall|height)\b", gettext_noop("a height")),
    ("length", r"l ?=|long\b|length\b", r"\b(?:long|lg|length|overall|o/?a)\b\.?", gettext_noop("a length of its own")),
    (
        "centres",
        r"(?:centres|centers|ctrs|c/c)\b",
        r"\b(?:(?:between )?(?:centres|centers|ctrs|crs)|centre to centre|center to center|c/c|c-c)\b",
        gettext_noop("between two centres"),
    ),
    ("", r"ref\b\.?", r"\bref(?:erence)?\b\.?", gettext_noop("a reference size")),
    ("", r"nom(?:inal)?\b\.?|basic\b", r"\b(?:nom(?:inal)?|basic)\b\.?", gettext_noop("a nominal size")),
    ("", r"typ(?:ical)?\b\.?", r"\btyp(?:ical)?\b\.?", gettext_noop("the same at every such place")),
    ("", r"thr(?:u|ough)\b", r"\bthr(?:u|ough)\b", gettext_noop("right through")),
    ("", r"exact(?:ly)?\b", r"\b(?:exact(?:ly)?|dead|bang on)\b", gettext_noop("exactly")),
    ("", r"finish(?:ed)?\b", r"\bfin(?:ish(?:ed)?)?\b\.?", gettext_noop("the finished size")),
    ("", r"measure[sd]\b", r"\b(?:as )?measured\b", gettext_noop("as measured")),
    (
        "",
        r"\d+ ?(?:x|off|holes?(?: of)?) ?(?=ø|dia)",
        r",? ?\b\d+ ?(?:off|places|plcs?|holes|positions)\b\.?",
        gettext_noop("one of several alike; how many is left aside"),
    ),
)
# What is the same before the figure and behind it is written once.
MEANINGS = tuple(
    Meaning(around(before, behind or rf"(?<![a-z])(?:{before})"), of, note) for of, before, behind, note in _TABLE
)
