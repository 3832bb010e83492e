"""The inks as the style sheets have them, and how well each is read on its ground."""

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from django.conf import settings

LOOKS = ("day", "evening", "more contrast", "more contrast, evening", "paper")
# An ink and the ground that it is read on. 4.5 is asked of letters and 3 of the edges of what is pressed (WCAG 2.2,
# success criteria 1.4.3 and 1.4.11); a rule only parts what is already apart.
READ_ON = (
    ("ink", "paper", 4.5),
    ("ink", "sheet", 4.5),
    ("ink", "well", 4.5),
    ("ink-2", "paper", 4.5),
    ("ink-2", "sheet", 4.5),
    ("ink-2", "well", 4.5),
    ("ink", "blue-wash", 4.5),
    ("ink", "brass-wash", 4.5),
    ("ink", "lead-wash", 4.5),
    ("blue", "paper", 4.5),
    ("blue", "sheet", 4.5),
    ("blue", "blue-wash", 4.5),
    ("on-blue", "blue", 4.5),
    ("brass", "paper", 4.5),
    ("lead", "paper", 4.5),
    ("lead", "lead-wash", 4.5),
    ("edge", "paper", 3.0),
    ("edge", "sheet", 3.0),
    ("rule", "paper", 1.0),
)
_INK = re.compile(r"--([\w-]+): (?:light-dark\((#\w+), (#\w+)\)|(#\w+));")
_SIZE = re.compile(r"--((?:size|s\d|measure|page|touch|thin|thick|frame)[\w-]*): ([^;]+);")


@dataclass(frozen=True)
class Pair:
    """An ink on a ground: the ratio of their luminances in each of `LOOKS`, and what is asked of it."""

    ink: str
    ground: str
    asked: float
    ratios: tuple[float, ...]

    @property
    def enough(self) -> bool:
        return min(self.ratios) >= self.asked


@cache
def inks() -> dict[str, tuple[str, ...]]:
    """Each ink's colour in each of `LOOKS`, by its name."""
    tokens, paper = _sheet("tokens"), _sheet("print")
    plain, _, more = tokens.partition("@media (prefers-contrast: more)")
    day_and_evening, stronger = _colours(plain), _colours(more.partition("@media (forced-colors")[0])
    printed = _colours(paper)
    return {
        name: (*both, *stronger.get(name, both), printed.get(name, both)[0]) for name, both in day_and_evening.items()
    }


@cache
def pairs() -> tuple[Pair, ...]:
    found = inks()
    return tuple(
        Pair(ink, ground, asked, tuple(contrast(*two) for two in zip(found[ink], found[ground], strict=True)))
        for ink, ground, asked in READ_ON
    )


@cache
def sizes() -> tuple[tuple[str, str], ...]:
    """Sizes of type, steps between things and widths of lines: name and value."""
    return tuple(_SIZE.findall(_sheet("tokens")))


def contrast(one: str, other: str) -> float:
    """The contrast ratio of two colours as #rgb or #rrggbb, 1 to 21 (WCAG 2.2, "contrast ratio")."""
    lighter, darker = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def _luminance(colour: str) -> float:
    digits = colour[1:] if len(colour) == 7 else "".join(2 * digit for digit in colour[1:])
    shares = [int(digits[place : place + 2], 16) / 255 for place in (0, 2, 4)]
    red, green, blue = (share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4 for share in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _sheet(name: str) -> str:
    return (Path(settings.BASE_DIR) / f"static/css/{name}.css").read_text(encoding="utf-8")


def _colours(css: str) -> dict[str, tuple[str, str]]:
    return {name: (day or always, evening or always) for name, day, evening, always in _INK.findall(css)}
