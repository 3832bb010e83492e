"""The usual cautions for a kind of work and a material, each with where it comes from.

This is no risk assessment and never says that something is safe. Boilers and pressure vessels always defer to the
boiler inspector.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache

from calcs.messages import _, gettext_noop
from calcs.shop.reference_tables import cited, read_table

NO_ASSESSMENT = gettext_noop(
    "These are usual cautions, not a risk assessment. Local rules come first, and people who are qualified for the "
    "work decide."
)
BOILER_SENTENCE = gettext_noop(
    "Boilers and pressure vessels: ask the boiler inspector of your club or insurer before work begins, and follow "
    "what the inspector decides."
)
_PRESSURE = ("boiler", "pressure", "steam", "superheater", "firebox", "smokebox tube")


@dataclass(frozen=True)
class Caution:
    """One caution in our own words, with its source; status "seen", or "from memory" where it was not read."""

    topic: str
    words: str
    source: str
    status: str


@dataclass(frozen=True)
class Cautions:
    """The cautions for one piece of work, and the sentences that always go with them."""

    cautions: tuple[Caution, ...]
    always: tuple[str, ...]


def cautions_for(kind: str, material: str = "", about: str = "") -> Cautions:
    """Return the usual cautions for a kind of operation and a material; never raises for any text.

    kind: as on the route card ("turning"). material: its name as the shop writes it; "AZ31 magnesium alloy" counts
    as magnesium. about: the part's or operation's title, which may speak of a boiler, a lithium pack or a flame.

    >>> [one.topic for one in cautions_for("soldering").cautions]
    ['solder fume', 'cadmium', 'hot work']
    >>> cautions_for("turning", "brass", "boiler bush").always[-1] == BOILER_SENTENCE
    True
    """
    words = f" {material} {about} ".lower()
    found = tuple(
        replace(caution, words=_(caution.words), source=_cited(caution))
        for kinds, materials, caution in _rows()
        if _fits(kind.strip().lower(), words, kinds, materials)
    )
    under_pressure = any(word in words for word in _PRESSURE)
    return Cautions(found, (_(NO_ASSESSMENT), _(BOILER_SENTENCE)) if under_pressure else (_(NO_ASSESSMENT),))


def _cited(caution: Caution) -> str:
    """Only a figure is remembered: a caution that holds none says where it comes from, and no more."""
    holds_figure = any(char.isdigit() for char in caution.words)
    return cited(caution.source, caution.status) if holds_figure else caution.source


def _fits(kind: str, words: str, kinds: tuple[str, ...], materials: tuple[str, ...]) -> bool:
    if not materials:
        return kind in kinds
    return ("*" in kinds or kind in kinds) and any(_speaks_of(words, material) for material in materials)


def _speaks_of(words: str, material: str) -> bool:
    """Whether the words name the material, alone or within a longer name, but not inside another word."""
    return re.search(rf"(?<![a-z]){re.escape(material.lower())}s?(?![a-z])", words) is not None


@cache
def _rows() -> tuple[tuple[tuple[str, ...], tuple[str, ...], Caution], ...]:
    return tuple(
        (
            tuple(row["kinds"].split("|")),
            tuple(name for name in row["materials"].split("|") if name),
            Caution(row["topic"], row["words"], row["source"], row["status"]),
        )
        for row in read_table("cautions.csv")
    )
