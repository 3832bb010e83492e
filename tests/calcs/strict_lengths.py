"""A second reader of lengths, slow and strict: everything that somebody may mean by a text, as exact millimetres.

It shares nothing with the program's own reader. A text is cut at every place where it can be cut, and each way of
reading the pieces is kept; so a text with two meanings has two here, whatever anybody would rather take it for. What it
does not know has no meaning. By custom of the shop a point is never read as parting thousands, and a whole number
joined to a fraction below one by a hyphen, a space or a point is the mixed number.
"""

import re
from collections.abc import Iterator
from fractions import Fraction

Size = Fraction | tuple[Fraction, Fraction]

INCH = Fraction(254, 10)
UNITS = {
    **dict.fromkeys(("mm", "millimetre"), Fraction(1)),
    **dict.fromkeys(("cm",), Fraction(10)),
    **dict.fromkeys(("m", "metre"), Fraction(1000)),
    **dict.fromkeys(('"', "in", "in.", "ins", "inch", "inches"), INCH),
    **dict.fromkeys(("'", "ft", "ft.", "foot", "feet"), 12 * INCH),
    **dict.fromkeys(("thou",), INCH / 1000),
    **dict.fromkeys(("µm",), Fraction(1, 1000)),
}
FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3"}
PLAIN = {"″": '"', "”": '"', "′": "'", "’": "'", "–": "-", "−": "-", "\u2009": " ", "\u202f": " ", "\u00a0": " "}

# What stands round a size, and what it says of it: (what the size is of, whether it is a limit, whether it is rough).
Round = tuple[str, str, bool]
BEFORE: dict[str, Round] = {
    **dict.fromkeys(("approx ", "about ", "~", "ca. ", "say "), ("", "", True)),
    **dict.fromkeys(("at least ", "min "), ("", "least", True)),
    **dict.fromkeys(("max ", "at most ", "up to "), ("", "most", True)),
    **dict.fromkeys(("Ø", "Ø ", "dia ", "dia. "), ("diameter", "", False)),
    "R": ("radius", "", False),
    "hex ": ("across flats", "", False),
    "sq ": ("square", "", False),
    "PCD ": ("pitch circle diameter", "", False),
}
BEHIND: dict[str, Round] = {
    **dict.fromkeys((" approx", " or so", "~"), ("", "", True)),
    **dict.fromkeys(("+", " or more", " min"), ("", "least", True)),
    **dict.fromkeys((" max", " or less"), ("", "most", True)),
    **dict.fromkeys((" dia", " diameter", " Ø"), ("diameter", "", False)),
    **dict.fromkeys((" rad", " radius"), ("radius", "", False)),
    **dict.fromkeys((" A/F", " hex"), ("across flats", "", False)),
    **dict.fromkeys((" sq", " square"), ("square", "", False)),
    **dict.fromkeys((" long", " lg"), ("length", "", False)),
    **dict.fromkeys((" thick", " plate"), ("thickness", "", False)),
    **dict.fromkeys((" (ref)", " ±0.1", " +/- 0.05", " +0.1/-0", " H7", " h6", " typ"), ("", "", False)),
}
# A figure that is no usual divisor makes of two whole ones of like size rather two sizes than a fraction.
_USUAL = {1, 2, 3, 4, 8, 16, 32, 64}
# Two figures with nothing but a hyphen are a screw with its threads to the inch as well.
_THREAD = re.compile(r"(?:#?\d{1,2}|\d+/\d+)\s*-\s*\d\d")
_PIPE_THREADS = {"1/16", "1/8", "1/4", "3/8", "1/2", "3/4"}


def all_meanings(text: str, default: str | None) -> set[Size]:
    """Every size in mm that a text may mean, a range as its two ends."""
    return {size for size, _round in all_readings(text, default)}


def all_readings(text: str, default: str | None) -> set[tuple[Size, Round]]:
    """Every size that a text may mean, with what is said of it by the words round it."""
    plain = "".join(PLAIN.get(mark, mark) for mark in text)
    plain = re.sub("|".join(FRACTIONS), lambda mark: f" {FRACTIONS[mark[0]]} ", plain)
    return set(_with_words(" ".join(plain.split()), default, ("", "", False)))


def _with_words(text: str, default: str | None, said: Round) -> Iterator[tuple[Size, Round]]:
    if said == ("", "", False) and _THREAD.fullmatch(text):
        yield Fraction(-1), said  # the screw of that name
    for size in _core(text, default):
        yield size, said
    for words, meaning in BEFORE.items():
        if text.startswith(words):
            inside = text.removeprefix(words).strip()
            if words == "R" and inside.rstrip('" in') in _PIPE_THREADS:
                yield Fraction(-1), said  # the pipe thread of that name
            yield from _with_words(inside, default, _joined(meaning, said))
    for words, meaning in BEHIND.items():
        if text.endswith(words):
            inside = text.removesuffix(words).strip()
            if words == " min" and inside[-1:].isdigit():
                yield Fraction(-1), said  # minutes
            yield from _with_words(inside, default, _joined(meaning, said))


def _joined(one: Round, other: Round) -> Round:
    return one[0] or other[0], one[1] or other[1], one[2] or other[2]


def _core(text: str, default: str | None) -> Iterator[Size]:
    alone, feet = list(_single(text, default)), list(_feet_and_inches(text))
    yield from (*alone, *feet, *_limits(text, default), *_with_tolerance(text, default))
    for joint in re.finditer(r"\s*(-|\bto\b)\s*", text):
        between = _range(text[: joint.start()], text[joint.end() :], joint[1], default)
        # What is one size by itself, such as 2-1/2 or 5'-6", is no sum, and no range but from nothing.
        yield from (size for size in between if not feet and (not alone or (isinstance(size, tuple) and not size[0])))
    for joint in re.finditer(r"\s*(?:\bx\b|(?<=\d)x(?=\d)|\bor\b|\+)\s*", text):
        one, other = (list(_single(side, default)) for side in (text[: joint.start()], text[joint.end() :]))
        yield from (*one, *other) if one and other else ()  # either of two sizes
    dual = re.fullmatch(r"(.+?)\s*(?:\((.+)\)|=\s*(.+))", text)
    if dual:
        first, second = _single(dual[1], None), list(_single(dual[2] or dual[3], None))
        yield from (size for size in first if second)
        yield from (
            size for size in second if not any(abs(size - one) < Fraction(1, 20) for one in _single(dual[1], None))
        )


def _range(low: str, high: str, joint: str, default: str | None) -> Iterator[Size]:
    _figure, unit = _figure_and_unit(high)
    for top in _single(high, default):
        for bottom in _single(f"{low} {unit}" if unit and not _figure_and_unit(low)[1] else low, default):
            if bottom < top:
                yield bottom, top
            elif joint == "-" and bottom > top:
                yield bottom - top  # a sum


def _single(text: str, default: str | None) -> Iterator[Fraction]:
    """One size: a figure with a unit, a bare one, or feet with inches behind."""
    figure, unit = _figure_and_unit(text)
    if unit:
        yield from (value * UNITS[unit] for value in figures(figure))
    else:
        # Fractions are of inches in both shops; another bare figure is of whatever the shop is.
        bare = {"in": ("in",), "mm": ("mm", "in") if "/" in figure else ("mm",), None: ("mm", "in")}[default]
        yield from (value * UNITS[one] for value in figures(figure) for one in bare)


def _feet_and_inches(text: str) -> Iterator[Fraction]:
    feet = re.fullmatch(r"(\d+)\s*(?:'|ft\.?|foot|feet)\s*-?\s*(.+)", text)
    if feet:
        inches, behind = _figure_and_unit(feet[2])
        if behind in ("", '"', "in", "in.", "ins", "inch", "inches"):
            yield from (int(feet[1]) * 12 * INCH + value * INCH for value in figures(inches) if value < 12)


def _limits(text: str, default: str | None) -> Iterator[Fraction]:
    """The first of two close limits, which are decimals: .375/.374."""
    found = re.fullmatch(r"(\d*\.\d+)\s*(\D*?)\s*/\s*(\d*\.\d+)\s*(\D*)", text)
    if found:
        unit = found[2] or found[4]
        for one in _single(f"{found[1]} {unit}".strip(), default):
            for other in _single(f"{found[3]} {unit}".strip(), default):
                if abs(one - other) <= max(one, other) / 20:
                    yield one


def _with_tolerance(text: str, default: str | None) -> Iterator[Fraction]:
    """The size before two limits, which may bring its unit; where they may be one mixed number, the sum as well."""
    found = re.fullmatch(r"(.+?)\s*\+\s*([^+-]+?)\s*/?\s*-\s*(.+)", text)
    if found:
        (plus, one), (minus, other) = map(_figure_and_unit, found.groups()[1:])
        unit = one or other
        if figures(plus) and figures(minus):
            yield from _single(found[1] if _figure_and_unit(found[1])[1] else f"{found[1]} {unit}".strip(), default)
        for more in _single(f"{found[2]}-{found[3]}", default):
            yield from (size + more for size in _single(found[1], default))


def _figure_and_unit(text: str) -> tuple[str, str]:
    found = re.fullmatch(r"(.*[\d])\s*([^\d\s]*)", text.strip())
    return (found[1], found[2]) if found and found[2] in ("", *UNITS) else ("", "")


def figures(text: str) -> set[Fraction]:
    """Every number that a figure may be."""
    text = text.strip()
    found: set[Fraction] = set()
    if re.fullmatch(r"\d+|\d*\.\d+", text):
        found.add(Fraction(text))
    if re.fullmatch(r"\d*,\d+", text):
        found.add(Fraction(text.replace(",", ".")))
    if re.fullmatch(r"[1-9]\d{0,2}(,\d{3})+(\.\d+)?", text):
        found.add(Fraction(text.replace(",", "")))
    if re.fullmatch(r"[1-9]\d{0,2}(\.\d{3})+,\d+", text):
        found.add(Fraction(text.replace(".", "").replace(",", ".")))
    if fraction := re.fullmatch(r"(\d+)\s?/\s?(\d+)", text):
        found |= _fraction(fraction[1], int(fraction[2]))
    if mixed := re.fullmatch(r"(\d+)(?:\s*-\s*|\s+|\.)(\d+)\s?/\s?(\d+)", text):
        whole, top, bottom = (int(part) for part in mixed.groups())
        if bottom > 0 and top < bottom:
            found.add(whole + Fraction(top, bottom))
    return found


def _fraction(top: str, bottom: int) -> set[Fraction]:
    if bottom == 0:
        return set()
    meant = {Fraction(int(top), bottom)}
    if int(top) and bottom not in _USUAL and 2 * int(top) >= bottom:
        meant |= {Fraction(top), Fraction(bottom)}
    for cut in range(1, len(top)):  # 21/2, where the space before the fraction was lost
        if top[cut] != "0" and int(top[cut:]) < bottom < int(top):
            meant.add(int(top[:cut]) + Fraction(int(top[cut:]), bottom))
    return meant
