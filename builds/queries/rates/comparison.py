"""Planned against actual: by kind, basis and material, operation by operation, and the parts furthest astray."""

import math
from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date

from django.utils.translation import gettext_lazy

from builds.models import Build, Entry, Operation, Part
from builds.models.operation import KIND_LABELS
from builds.queries import cache_store
from builds.queries.forecast.build_forecast import BuildForecast, forecast_of
from builds.queries.snapshot import BuildSnapshot, OperationRow, PartRow
from calcs.forecast import ARITHMETIC
from calcs.forecast.result import RateSummary
from calcs.messages import _

# What the table can be cut by; the words are what the page calls each.
CUTS = {
    "kind": gettext_lazy("kind of operation"),
    "basis": gettext_lazy("what the time is counted by"),
    "material": gettext_lazy("material"),
    "all": gettext_lazy("kind, basis and material"),
}

# Parts told apart as gone astray, and how many hours they must have had to be worth telling.
MOST_ASTRAY = 8
LEAST_HOURS = 0.5
MOST_NOTES = 3


@dataclass(frozen=True)
class Compared:
    """One observation of the log against the plan, in hours: an operation, or a whole part where none was named."""

    part: PartRow
    line: OperationRow | None
    planned: float
    actual: float
    pieces: int

    @property
    def name(self) -> str:
        return f"{self.part.part}, {self.line.operation}" if self.line else str(self.part.part)


@dataclass(frozen=True)
class Astray:
    """A part whose hours were far from the plan, with what was noted down about it, the newest first."""

    part: PartRow
    planned: float
    actual: float
    notes: tuple[str, ...]

    @property
    def ratio(self) -> float:
        return self.actual / self.planned


@dataclass(frozen=True)
class RatesPage:
    """`lines` are cut by `cut`; `overall` is the shop as a whole, None where nothing can be compared yet."""

    build_forecast: BuildForecast
    cut: str
    overall: RateSummary | None
    lines: tuple[RateSummary, ...]
    compared: tuple[Compared, ...]
    astray: tuple[Astray, ...]

    @property
    def snapshot(self) -> BuildSnapshot:
        return self.build_forecast.snapshot

    @property
    def by_kind(self) -> dict[str, RateSummary]:
        return {rate.kind: rate for rate in self.build_forecast.forecast.rates if rate.kind}


def rates_page(build: Build, today: date, cut: str = "kind") -> RatesPage:
    """Everything that the log says of the plan's times. Ten queries, one more where parts went astray."""
    build_forecast = forecast_of(build, today)
    compared = compared_with_plan(build_forecast.snapshot)
    summaries = build_forecast.forecast.rates
    return RatesPage(
        build_forecast=build_forecast,
        cut=cut,
        overall=next((rate for rate in summaries if not rate.kind), None),
        lines=rates_by(build_forecast.snapshot, cut) if compared else (),
        compared=compared,
        astray=_furthest_astray(compared),
    )


def compared_with_plan(snapshot: BuildSnapshot) -> tuple[Compared, ...]:
    """What the arithmetic learns rates from, each with its records, in the order of the plan."""
    # Not at the top: it loads NumPy, which an ordinary page does without.
    from calcs.forecast.observations import rate_observations

    lines = {line.operation.pk: (part, line) for part in snapshot.parts for line in part.operations}
    found = []
    for seen in rate_observations(part.plan for part in snapshot.parts):
        part, line = lines[seen.key] if seen.kind else (snapshot.by_part[-seen.key], None)
        found.append(Compared(part, line, seen.planned_minutes / 60, seen.actual_minutes / 60, seen.pieces))
    return tuple(found)


def rates_by(snapshot: BuildSnapshot, cut: str) -> tuple[RateSummary, ...]:
    """Planned against actual for each group of operations, most hours first; `kind` of each names its group.

    The same model throughout: few operations borrow from the shop as a whole, many speak for themselves. What is kept
    knows its groups by the records' own keys, since a material may be renamed without the build being changed.
    """
    operations = {line.operation.pk: line.operation for part in snapshot.parts for line in part.operations}
    key = f"rates:{ARITHMETIC}:{snapshot.build.uid}:{snapshot.build.revision}:{snapshot.as_of.isoformat()}:{cut}"
    found = cache_store.fetch(key, _Summaries)
    if found is None:
        found = _Summaries(_fitted(snapshot, operations, cut))
        cache_store.keep(key, found)
    examples = {_group_key(operation, cut): operation for operation in operations.values()}
    # One name a group: Django looks through every kind for each label that it is asked for.
    names = {key: _group_name(operation, cut) for key, operation in examples.items()}
    named = (replace(rate, kind=names[rate.kind]) for rate in found.rates)
    return tuple(sorted(named, key=lambda rate: (-rate.actual_hours, rate.kind)))


@dataclass(frozen=True)
class _Summaries:
    rates: tuple[RateSummary, ...]


def _group_key(operation: Operation, cut: str) -> str:
    keys = {"kind": operation.kind, "basis": operation.basis, "material": str(operation.part.material_id or 0)}
    return keys[cut] if cut in keys else "|".join(keys.values())


def _group_name(operation: Operation, cut: str) -> str:
    material = operation.part.material
    names = {
        "kind": str(KIND_LABELS[operation.kind]),
        "basis": _("by the {basis}", basis=operation.get_basis_display()),
        "material": material.name if material is not None else _("no material given"),
    }
    return names[cut] if cut in names else ", ".join(names.values())


def _fitted(snapshot: BuildSnapshot, operations: dict[int, Operation], cut: str) -> tuple[RateSummary, ...]:
    from calcs.forecast.observations import rate_observations, slopes_seen
    from calcs.forecast.rates import fit_rates

    plans = [part.plan for part in snapshot.parts]
    seen = [
        # A whole part speaks of the shop and of no group.
        replace(one, kind=_group_key(operations[one.key], cut)) if one.kind else one
        for one in rate_observations(plans)
    ]
    slopes = tuple(slopes_seen(plans).values())
    return fit_rates(seen, tuple(dict.fromkeys(one.kind for one in seen if one.kind)), slopes).by_kind()


def _furthest_astray(compared: tuple[Compared, ...]) -> tuple[Astray, ...]:
    """The parts whose hours were furthest from the plan, as a ratio; notes take one query."""
    sums: dict[int, list[Compared]] = defaultdict(list)
    for one in compared:
        sums[one.part.part.pk].append(one)
    parts = [
        Astray(
            ones[0].part,
            sum(one.planned for one in ones),
            sum(one.actual for one in ones),
            (),
        )
        for ones in sums.values()
    ]
    worth = [one for one in parts if max(one.planned, one.actual) >= LEAST_HOURS and abs(math.log(one.ratio)) > 0.2]
    worst = sorted(worth, key=lambda one: (-abs(math.log(one.ratio)), one.part.part.pk))[:MOST_ASTRAY]
    notes = _notes_of([one.part.part for one in worst])
    return tuple(replace(one, notes=notes[one.part.part.pk]) for one in worst)


def _notes_of(parts: list[Part]) -> dict[int, tuple[str, ...]]:
    """What the plan and the log say in words about each part; the part's own note stands first."""
    notes: dict[int, list[str]] = {part.pk: [part.note] if part.note else [] for part in parts}
    if parts:
        noted = Entry.objects.kept().filter(part__in=parts).exclude(note="").order_by("-worked_on", "-pk")
        for part_id, note in noted.values_list("part_id", "note"):
            if part_id is not None and len(notes[part_id]) < MOST_NOTES and note not in notes[part_id]:
                notes[part_id].append(note)
    return {pk: tuple(texts) for pk, texts in notes.items()}
