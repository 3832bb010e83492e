"""Texts that look like lengths and are something else, or could be two things: each with its own sentence.

Tried in order before the grammar of lengths; the first pattern that matches decides. `{text}` in a sentence is
the text as typed.
"""

import re

from calcs.messages import _, gettext_noop
from calcs.typed.reading import Refusal, quote_input
from calcs.typed.text import NUMBER

_THREAD_SERIES = r"m\.?e|unc|unf|unef|uns|bsw|bsf|bsb|bspt?|bspp|npt|whit(?:worth)?|tpi|cei|thread"
# No x inside a word, as in "approx 12" or "hex 12".
_TIMES = r"(?:(?:(?<![a-z])|(?<=mm)|(?<=cm)|(?<=in))x(?![a-z])|\bby\b)"

_TABLE: tuple[tuple[str, str], ...] = (
    (
        r"-\s*[\d.].*",
        gettext_noop("A length cannot be negative. Write it without the minus sign."),
    ),
    (
        r"""["'].*""",
        gettext_noop('The inch or foot mark in “{text}” stands before the number. Write it behind, like 0.063".'),
    ),
    (
        rf"(?:{NUMBER})\s*(?:'|ft|foot|feet)\s*=.*|.*=\s*(?:{NUMBER})\s*(?:'|ft|foot|feet)",
        gettext_noop("“{text}” states a scale, not a length. A length is one figure with its unit, like 1-1/2 in."),
    ),
    (
        r"m ?\d+(?:\.\d+)? ?x ?(?!0?\.|[01]\.|[0-2]$)\d.*",
        gettext_noop(
            "“{text}” may be a thread with its pitch or a screw with its length. "
            "Write the one length meant, like 12 mm."
        ),
    ),
    (
        r"m ?\d+(?:[.,]\d+)? ?x.*",
        gettext_noop("“{text}” is a thread, not a length. Write the diameter with its unit, like 3 mm."),
    ),
    (
        rf".*\b(?:{_THREAD_SERIES})\b\.?.*",
        gettext_noop("“{text}” is a thread, not a length. Write the diameter with its unit, like 3/16 in."),
    ),
    (
        r"\d+ ?(?:ba|b\.a\.?) ?.*x.*",
        gettext_noop("“{text}” is a screw with its length. Write the one length meant with its unit, like 1/2 in."),
    ),
    (
        r"(?:#|no\.? ?)\d{1,2} ?- ?\d{2}|\d{1,2} ?- ?\d{2}|\d+/\d+ ?- ?\d{2}",
        gettext_noop(
            "“{text}” may be a screw thread or a range. Write a diameter like 0.086 in, or a range with its unit."
        ),
    ),
    (
        r"\d+ ?(?:gauge|gage|ga|g)\.?|(?:gauge|gage) ?\d+",
        gettext_noop(
            "“{text}” does not say which gauge, and may be a weight. Write the thickness, like 0.064 in, or 16 swg."
        ),
    ),
    (
        r".*\b(?:full|bare)\b.*",
        gettext_noop(
            "“Full” and “bare” mean a shade over or under and give no figure. Write the size alone, like 3/4 in, "
            "or the size it is to be, like 0.752 in."
        ),
    ),
    (
        r"r ?(?:1/16|1/8|1/4|3/8|1/2|3/4|1[ -]1/4|1[ -]1/2)(?: ?(?:\"|in|inch))?",
        gettext_noop(
            "“{text}” may be a radius or the size of a pipe thread. "
            "Write “radius” behind the size, or the diameter with its unit."
        ),
    ),
    (
        r"(?:[1-9]|[1-7]\d|80) drill|drill (?:[1-9]|[1-7]\d|80)",
        gettext_noop("“{text}” may be the drill of that number or a size. Write it like #30, or 30 mm."),
    ),
    (
        rf"(?:{NUMBER}) ?min\.?",
        gettext_noop("“{text}” may be a time or the least that a size may be. Write it like “at least 12 mm”."),
    ),
    (
        rf".*(?:\d|[\"'a-z])\s*{_TIMES}\s*[\d.].*{_TIMES}.*",
        gettext_noop("“{text}” is a list of sizes. Write one length at a time, like 24 in."),
    ),
    (
        rf"(?!.*{_TIMES} ?45 ?(?:o|deg)).*(?:\d|[\"'a-z])\s*{_TIMES}\s*[\d.].*",
        gettext_noop("“{text}” may be a number of pieces or two sizes. Write one length, like 1/8 in."),
    ),
    (
        r".*\d\s*[\"a-z]*\s+(?:less|minus|and a bit|plus (?=\S))\b.*|.*\d\s*[\"a-z]*\s*\+\s*[\d.]+[^-]*",
        gettext_noop("“{text}” is a sum. Write what it comes to, like 2.484 in."),
    ),
    (
        rf"(?:{NUMBER})\s*(?:\"|[a-zμ]+\.?)\s*/\s*(?:{NUMBER})\s*(?:\"|[a-zμ]+\.?)|.*\d.*\bor\s+[\d.].*",
        gettext_noop("“{text}” offers two sizes. Write the one that was meant, like 6 mm."),
    ),
)

_REFUSALS = tuple((re.compile(pattern), sentence) for pattern, sentence in _TABLE)


def refuse_lookalikes(plain: str, typed: str) -> None:
    """Raise Refusal with its own sentence when the plain text is a known look-alike of a length.

    >>> refuse_lookalikes("m3x0.5", "M3x0.5")
    Traceback (most recent call last):
    calcs.typed.reading.Refusal: “M3x0.5” is a thread, not a length. Write the diameter with its unit, like 3 mm.
    """
    for pattern, sentence in _REFUSALS:
        if pattern.fullmatch(plain):
            raise Refusal(_(sentence, text=quote_input(typed)))
