"""The outlook of a build: asked for here by the page, the board, the command line and the charts alike."""

import hashlib
from dataclasses import dataclass
from datetime import date
from functools import cached_property

from django.core.cache import cache

from builds.models import Build
from builds.queries.ledger import Ledger, PartLine, read_ledger
from calcs.forecast import FinishDates, GroupOutlook, MilestoneOutlook, Outlook, PartOutlook

# Raised when the arithmetic changes, so that no figure kept from before it is shown.
ARITHMETIC = 6


@dataclass(frozen=True)
class Prospect:
    """A build's ledger together with its outlook on the same day."""

    ledger: Ledger
    outlook: Outlook

    @cached_property
    def by_part(self) -> dict[int, PartOutlook]:
        return {part.key: part for part in self.outlook.parts}

    @cached_property
    def by_group(self) -> dict[str, GroupOutlook]:
        return {group.group: group for group in self.outlook.groups}

    @property
    def unestimated(self) -> tuple[PartLine, ...]:
        return tuple(self.ledger.by_part[key] for key in self.outlook.unestimated_parts)

    @property
    def widest(self) -> tuple[tuple[PartLine, PartOutlook], ...]:
        """The parts that widen the range the most, the worst first; at most six."""
        worst = sorted(self.outlook.parts, key=lambda part: (-part.widening, part.key))[:6]
        return tuple((self.ledger.by_part[part.key], part) for part in worst if part.widening >= 0.01)

    @property
    def milestones(self) -> tuple[MilestoneOutlook, ...]:
        return self.outlook.milestones

    @property
    def finish_on(self) -> FinishDates | None:
        return self.outlook.finish_on


def prospect_of(build: Build, as_of: date) -> Prospect:
    """Read a build and its outlook as of a day. Nine queries; the sums are done once a revision and day, and kept."""
    ledger = read_ledger(build, as_of)
    return Prospect(ledger, outlook_of(ledger))


def outlook_of(ledger: Ledger) -> Outlook:
    """The outlook that follows from a ledger, kept by build, revision and day."""
    build = ledger.build
    key = f"outlook:{ARITHMETIC}:{build.uid}:{build.revision}:{ledger.as_of.isoformat()}"
    kept = _kept(key)
    if kept is not None:
        return kept
    # Not at the top: NumPy is loaded by the first page that has to work an outlook out, and by no other.
    from calcs.outlook import foresee

    fresh = foresee(ledger.build_plan(), ledger.as_of, seed=seed_of(build, ledger.as_of))
    cache.set(key, fresh.as_json_dict())
    return fresh


def _kept(key: str) -> Outlook | None:
    """What was kept under a key; None where nothing was, or where an earlier version kept it in another shape."""
    plain = cache.get(key)
    try:
        return None if plain is None else Outlook.from_json_dict(plain)
    except (KeyError, TypeError, ValueError):
        return None


def seed_of(build: Build, as_of: date) -> int:
    """The same build, revision and day give the same draws, on every machine and database."""
    text = f"{build.slug}|{build.revision}|{as_of.isoformat()}"
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big")
