"""From the characters people type to plain text and exact numbers.

Lengths, durations and scales share this ground: odd spaces, quotes, dashes and fractions from phones and
pasted drawings become plain ASCII where they safely can, and number tokens become exact `Fraction` values.
What cannot be folded without guessing is left in, so that no pattern matches it and it is refused.
"""

import math
import re
import unicodedata
from decimal import Decimal
from fractions import Fraction

from calcs.messages import _
from calcs.typed.reading import Refusal

# Halves to sixty-fourths, and thirds.
USUAL_DIVISORS = frozenset({1, 2, 3, 4, 8, 16, 32, 64})

# One number: 2 1/2, 2-1/2, 2.1/2 (old drawings join with a point), 3/8, 12.7, 12,7, .020, 1.200,5
NUMBER = r"(?:\d+(?:\s*-\s*|\s+|\.)\d+\s?/\s?\d+|\d+\s?/\s?\d+|\d+(?:[.,]\d+)*|[.,]\d+)"

_UNREADABLE = "\ufffd"
_CHARACTERS = {
    **dict.fromkeys("‘’‛′`´ʹʼ＇", "'"),
    **dict.fromkeys("“”‟″〃ʺ＂„", '"'),
    **dict.fromkeys("‐‑‒–—―−﹣－", "-"),
    **dict.fromkeys("⁄∕／", "/"),
    **dict.fromkeys("×✕✖⨯＊*", "x"),
    **dict.fromkeys("⌀∅øφϕ", "ø"),
    "Ø": "ø",
    "Φ": "ø",
    "№": " no ",
    "°": "o",
    "≈": "~",
    "∼": "~",
    "～": "~",
    "≥": ">=",
    "≤": "<=",
}
_RAISED = "⁰¹²³⁴⁵⁶⁷⁸⁹"
_LOWERED = "₀₁₂₃₄₅₆₇₈₉"
_RAISED_FRACTION = re.compile(rf"([{_RAISED}]+)[⁄/∕]([{_LOWERED}]+)")
_TO_DIGITS = str.maketrans(_RAISED + _LOWERED, "0123456789" * 2)


def _plain_character(char: str) -> str:
    if char in _CHARACTERS:
        return _CHARACTERS[char]
    if char.isascii():
        return char
    if unicodedata.decomposition(char).startswith("<fraction>"):
        # Spaces on both sides: plain folding would glue 2½ into 21/2.
        return f" {unicodedata.normalize('NFKC', char).replace('⁄', '/')} "
    digit = unicodedata.decimal(char, None)
    if digit is not None:
        return str(digit)
    if unicodedata.category(char) == "Cf":  # invisible marks from pasted text
        return ""
    folded = unicodedata.normalize("NFKC", char)
    # A raised or circled figure must not be glued to its neighbours as a digit.
    if unicodedata.numeric(char, None) is not None or re.search(r"[0-9]", folded):
        return _UNREADABLE
    return folded


def plain_text(text: str) -> str:
    """Lower-case text with plain spaces, quotes, dashes, slashes and digits.

    >>> plain_text("2½″")
    '2 1/2 "'
    >>> plain_text("１２mm")
    '12mm'
    """
    spread = _RAISED_FRACTION.sub(lambda m: f" {m[1].translate(_TO_DIGITS)}/{m[2].translate(_TO_DIGITS)} ", text)
    plain = "".join(_plain_character(char) for char in spread).lower()
    return " ".join(plain.replace("''", '"').split())


def exact_number(token: str, unit: str = "", *, ratio: bool = False) -> Fraction:
    """The exact value of one number token; `unit` is only quoted in the refusals.

    A `ratio` may be 3/5, which otherwise may be three or five.

    Raises Refusal for a zero divisor, an improper fraction behind a whole number, a fraction that may have lost
    the space before it, or a comma that may part thousands or decimals.

    >>> exact_number("2-1/2"), exact_number("2.1/2"), exact_number("12,7")
    (Fraction(5, 2), Fraction(5, 2), Fraction(127, 10))
    """
    token = token.strip()
    mixed = re.fullmatch(r"(\d+)(?:\s*-\s*|\s+|\.)(\d+\s?/\s?\d+)", token)
    if mixed:
        _check_for_a_range_from_nothing(token)
        part = _fraction(mixed[2])
        if part >= 1:
            mixed_up = _(
                "“{text}” has a fraction of one or more behind its whole number. Write it like 2-1/2.", text=token
            )
            raise Refusal(mixed_up)
        return int(mixed[1]) + part
    if "/" in token:
        _check_for_a_lost_space(token)
        if not ratio:
            _check_for_two_figures(token)
        return _fraction(token)
    return Fraction(Decimal(_decimal_text(token, f" {unit}" if unit else "")))


def _check_for_a_range_from_nothing(token: str) -> None:
    """Refuse 0-1/4, which may be a quarter or anything up to one; 0 1/4 is a quarter."""
    if found := re.fullmatch(r"0+\s*-\s*(.+)", token):
        either = _("“{text}” may be {part}, or from 0 to {part}. Write {part}, or 0 to {part}.")
        raise Refusal(either.format(text=token, part=found[1]))


def _fraction(token: str) -> Fraction:
    top, bottom = (int(part) for part in token.split("/"))
    if bottom == 0:
        raise Refusal(_("“{text}” divides by zero. Write a fraction like 3/8.", text=token))
    return Fraction(top, bottom)


def _check_for_a_lost_space(token: str) -> None:
    """Refuse 21/2, which is 10-1/2 as it stands and 2-1/2 when a space was lost; 9/8 can only be 9/8."""
    top, bottom = (part.strip() for part in token.split("/"))
    for cut in range(1, len(top)):
        if int(bottom) < int(top) and top[cut] != "0" and int(top[cut:]) < int(bottom):
            whole, part = divmod(int(top), int(bottom))
            readings = {
                "as_it_stands": f"{whole}-{part}/{bottom}" if part else str(whole),
                "with_space": f"{top[:cut]}-{top[cut:]}/{bottom}",
            }
            either = _("“{text}” may be {as_it_stands} or {with_space}. Write the one meant with its hyphen.")
            raise Refusal(either.format(text=token, **readings))


def _check_for_two_figures(token: str) -> None:
    """Refuse 15/20, which may be fifteen or twenty; 3/4 and 27/64 are fractions to everybody, and so is 1/20."""
    top, bottom = (int(part) for part in token.split("/"))
    if top and bottom not in USUAL_DIVISORS and 2 * top >= bottom > 0:
        figure = f"{top / bottom:.4g}"
        either = _("“{text}” may be {low} or {high}, or a fraction. Write {low}-{high}, or {figure}.")
        raise Refusal(either.format(text=token, low=min(top, bottom), high=max(top, bottom), figure=figure))


def _decimal_text(token: str, unit: str) -> str:
    """The token with a point for its decimals and nothing between its thousands."""
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", token):
        whole, point = token.replace(",", "") + unit, f"{float(token.replace(',', '.')):g}{unit}"
        either = _("“{text}” may be {whole} or {point}. Write {whole} or {point}.")
        raise Refusal(either.format(text=token + unit, whole=whole, point=point))
    if re.fullmatch(r"\d*[.,]?\d+", token):
        return token.replace(",", ".")
    if re.fullmatch(r"[1-9]\d{0,2}(,\d{3})+\.\d+|[1-9]\d{0,2}(,\d{3}){2,}", token):
        return token.replace(",", "")
    if re.fullmatch(r"[1-9]\d{0,2}(\.\d{3})+,\d+", token):
        return token.replace(".", "").replace(",", ".")
    unclear = _("The points and commas in “{text}” can be read in more than one way. Write it like 1200.5.", text=token)
    raise Refusal(unclear)


def decimal_places(value: Fraction, places: int) -> str:
    """The value in figures with at most so many decimals, without trailing zeros.

    >>> decimal_places(Fraction(5, 2), 4), decimal_places(Fraction(1, 3), 4)
    ('2.5', '0.3333')
    """
    text = f"{round(value * 10**places):0{places + 1}d}"
    if not places:
        return text
    return f"{text[:-places]}.{text[-places:]}".rstrip("0").rstrip(".")


def rounded(value: Fraction) -> tuple[str, bool]:
    """The value in figures, four decimals or more for small values, and whether it had to be rounded.

    >>> rounded(Fraction(5, 2)), rounded(Fraction(1, 3)), rounded(Fraction(1, 508))
    (('2.5', False), ('0.3333', True), ('0.001969', True))
    """
    text = decimal_places(value, 6)
    if Fraction(text) == value:
        return text, False
    needed = 3 - math.floor(math.log10(value))
    return decimal_places(value, min(max(4, needed), 12)), True


def about(text: str) -> str:
    """A figure, marked as not exact."""
    return _("about {figure}", figure=text)


def in_figures(value: Fraction) -> str:
    """The value in figures, marked "about" when it had to be rounded.

    >>> in_figures(Fraction(5, 2)), in_figures(Fraction(1, 3))
    ('2.5', 'about 0.3333')
    """
    text, inexact = rounded(value)
    return about(text) if inexact else text
