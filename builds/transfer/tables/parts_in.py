"""A parts list with its routes taken in: parts by their item number, operations by their number in the route."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from typing import Any

from django.core.exceptions import ValidationError

from builds.models import Assembly, Build, Builder, Machine, Material, Operation, Part, Sheet, Shop
from builds.models.choices import EventType, Kind, Origin
from builds.services.changes import change, write
from builds.services.plan.records import joined_on
from builds.transfer.complaints import Complaint, known, plain_name, quoted
from builds.transfer.tables.parts_cells import PartCells
from builds.transfer.tables.raw import RawTable
from builds.transfer.tables.seen_rows import SeenRow, SeenTable, State, refused_rows
from builds.transfer.tables.table import Cells, Chosen, Table, find_columns, what_is_missing
from calcs.messages import _

# Which field each column fills.
OF_PART = {
    "number": "number", "name": "name", "assembly": "assembly", "sheet": "sheet", "quantity": "quantity",
    "spares": "spares", "material": "material", "role": "role", "blank": "blank", "mass": "finished_mass_grams",
    "cost": "blank_cost", "note": "note",
}  # fmt: skip
OF_OPERATION = {
    "operation": "number", "kind": "kind", "title": "title", "machine": "machine", "setup": "setup_minutes",
    "basis": "basis", "amount": "amount", "time": "minutes_per_unit", "share": "unattended_share",
    "operation note": "note",
}  # fmt: skip
# What is asked of a part by the cells of a row alone, beside what names it.
FILLED_IN = (*(column for column in OF_PART if column not in ("number", "name")),)
# A new operation's number after the last.
AFTER = 10


class _Wrong(ValueError):
    def __init__(self, column: str, sentence: str) -> None:
        self.column = column
        super().__init__(sentence)


@dataclass
class _Plan:
    """What a table brings, nothing of it saved: new records, and records of the build with other figures."""

    others: Sequence[Assembly | Sheet] = ()
    of_shop: Sequence[Material | Machine] = ()
    new_parts: list[Part] = field(default_factory=list)
    new_operations: list[Operation] = field(default_factory=list)
    changed: list[Part | Operation] = field(default_factory=list)
    rows: list[SeenRow] = field(default_factory=list)
    complaints: list[Complaint] = field(default_factory=list)


@dataclass(frozen=True)
class PartsSeen(SeenTable):
    """A parts list that was looked at, and what `take_in` would make of it."""

    build: Build = field(kw_only=True)
    plan: _Plan = field(kw_only=True, default_factory=_Plan)

    def take_in(self, by: Builder | None) -> None:
        """Write it as one event. Call only where it is `to_take`; raises ValidationError, with nothing written."""
        plan = self.plan
        details = {"parts": len(plan.new_parts), "file": self.table.name, "changed": len(plan.changed)}
        details |= {"operations": len(plan.new_operations)}
        with change(build=self.build, by=by, type=EventType.IMPORT_PARTS, details=details):
            for one in plan.of_shop:
                one.save()
            if plan.of_shop:
                Shop.raise_revision()
            for record in (*plan.others, *plan.new_parts, *plan.new_operations, *plan.changed):
                record._prepare_related_fields_for_save("take_in")  # type: ignore[attr-defined]
                write(record)


def look_at_parts(build: Build, raw: RawTable, columns: Chosen, *, today: date) -> PartsSeen:
    """What would come of a parts list, row by row. Raises LogError where the table cannot be read at all."""
    table = find_columns(raw, "parts", columns)
    whole = what_is_missing(table)
    if whole:
        return PartsSeen(table, (), tuple(whole), build=build)
    planner = _Planner(build, table, today)
    for number, cells in table.rows:
        planner.read(number, cells)
    plan = planner.plan
    plan.others, plan.of_shop = planner.cells.others, planner.cells.of_shop
    cells = {number: _said(table, said) for number, said in table.rows}
    refused = refused_rows(plan.complaints, cells)
    wrong = {row.number for row in refused}
    rows = sorted([*refused, *(r for r in plan.rows if r.number not in wrong)], key=lambda row: row.number)
    return PartsSeen(table, tuple(rows), (), also=tuple(_also(plan)), build=build, plan=plan)


def _said(table: Table, cells: Cells) -> str:
    """What a row says, each cell with what it is taken for."""
    filled = ((column, cells[column]) for column in sorted(cells, key=table.places.__getitem__) if cells[column])
    labels = ((table.kind.columns[column][0], cell) for column, cell in filled)
    return " · ".join(_("{label}: {cell}", label=label, cell=cell) for label, cell in labels)


def _also(plan: _Plan) -> Iterator[str]:
    for label, found in (
        (_("New to the shop: {names}."), plan.of_shop),
        (_("New to the build: {names}."), plan.others),
    ):
        if found:
            yield label.format(names=known(found))


class _Planner:
    """Finds out row by row what would come of a parts list."""

    def __init__(self, build: Build, table: Table, today: date) -> None:
        self.build, self.table, self.plan = build, table, _Plan()
        parts = list(
            build.parts.select_related("assembly", "sheet", "material").prefetch_related("operations__machine")
        )
        self.by_number = {plain_name(part.number): part for part in parts}
        self.by_name: dict[str, list[Part]] = {}
        for part in parts:
            self.by_name.setdefault(plain_name(part.name), []).append(part)
        self.routes = {id(part): list(part.operations.all()) for part in parts}
        self.seen: dict[int, tuple[int, Cells]] = {}
        self.taken: dict[int, int] = {}
        self.joined = joined_on(build, today)
        self.position = max((part.position for part in parts), default=-1) + 1
        self.cells = PartCells(build, table.raw.comma_decimal)

    def read(self, number: int, cells: Cells) -> None:
        try:
            part, state, words = self._part(number, cells)
            operation_state, more = self._operation(number, cells, part)
        except _Wrong as error:
            self.plan.complaints.append(self.table.complaint(number, error.column, error))
        except ValidationError as error:
            for name, sentences in error.message_dict.items():
                self.plan.complaints.append(self.table.complaint(number, name, " ".join(sentences)))
        else:
            states = (state, operation_state)
            found = next((one for one in (State.NEW, State.CHANGED) if one in states), State.SAME)
            self.plan.rows.append(SeenRow(number, found, _said(self.table, cells), (*words, *more)))

    # ---- parts ------------------------------------------------------------------------------------------------------
    def _part(self, number: int, cells: Cells) -> tuple[Part, State, tuple[str, ...]]:
        """The part of a row: a new one, one that the row changes, or one as it is."""
        part = self._known(cells)
        if part is not None and id(part) in self.seen:
            first, before = self.seen[id(part)]
            for column in FILLED_IN:
                if cells.get(column) and cells[column] != before.get(column):
                    raise _Wrong(column, _("Row {row} says otherwise of this part.", row=first))
            return part, State.SAME, ()
        values = self._values(OF_PART, cells)
        if part is None:
            part = self._new_part(values)
            state, words = State.NEW, ()
        else:
            values.pop("number", None)
            words = self._changed(part, values)
            state = State.CHANGED if words else State.SAME
        if state != State.SAME:
            part.full_clean(exclude={"build", "assembly", "sheet", "material"})
        self.seen[id(part)] = (number, cells)
        return part, state, words

    def _known(self, cells: Cells) -> Part | None:
        number, name = plain_name(cells.get("number", "")), plain_name(cells.get("name", ""))
        if number:
            return self.by_number.get(number)
        same = self.by_name.get(name, []) if name else []
        if len(same) > 1:
            figures = {"name": quoted(cells["name"]), "count": len(same), "known": known([one.number for one in same])}
            raise _Wrong("name", _("{name} is the name of {count} parts: give the number ({known}).", **figures))
        if not name:
            raise _Wrong("number", _("This is empty: which part is it?"))
        return same[0] if same else None

    def _new_part(self, values: dict[str, Any]) -> Part:
        count = len(self.by_number) + 1
        values["number"] = values.get("number") or next(
            str(n) for n in range(count, 2 * count + 1) if str(n) not in self.by_number
        )
        part = Part(build=self.build, position=self.position, **values)
        self.position += 1
        self.by_number[plain_name(part.number)] = part
        self.by_name.setdefault(plain_name(part.name), []).append(part)
        self.routes[id(part)] = []
        self.plan.new_parts.append(part)
        return part

    # ---- operations -------------------------------------------------------------------------------------------------
    def _operation(self, number: int, cells: Cells, part: Part) -> tuple[State, tuple[str, ...]]:
        """What a row says of an operation. A new part without any gets the one that every part starts from."""
        route = self.routes[id(part)]
        said = any(cells.get(column) for column in OF_OPERATION)
        if not said and (route or part.pk is not None):
            return State.SAME, ()
        values = self._values(OF_OPERATION, cells)
        found = self._of_route(values, route, cells)
        if found is not None:
            if self.taken.setdefault(id(found), number) != number:
                raise _Wrong("operation", _("Row {row} speaks of this operation already.", row=self.taken[id(found)]))
            return self._of_plan(found, values)
        values["number"] = values.get("number") or max((one.number for one in route), default=0) + AFTER
        values["kind"] = values.get("kind") or Kind.MAKING
        origin = Origin.ROUGH if values["kind"] == Kind.MAKING else Origin.BY_HAND
        new = Operation(part=part, origin=origin, added_on=self.joined, **values)
        new.full_clean(exclude={"part", "machine"})
        route.append(new)
        self.taken[id(new)] = number
        self.plan.new_operations.append(new)
        return State.NEW, ()

    def _of_route(self, values: dict[str, Any], route: list[Operation], cells: Cells) -> Operation | None:
        if values.get("number"):
            return next((one for one in route if one.number == values["number"]), None)
        if not values.get("kind") and not values.get("title") and len(route) == 1:
            return route[0]
        names = [name for name in ("kind", "title") if values.get(name)]
        same = [one for one in route if names and all(getattr(one, name) == values[name] for name in names)]
        if len(same) > 1:
            raise _Wrong("operation", _("Several operations of the route are called so: give the number."))
        return same[0] if same else None

    def _of_plan(self, found: Operation, values: dict[str, Any]) -> tuple[State, tuple[str, ...]]:
        values = {name: value for name, value in values.items() if name != "number" and (name != "kind" or value)}
        before = found.minutes_per_unit
        words = self._changed(found, values)
        if not words:
            return State.SAME, ()
        if found.minutes_per_unit != before:
            found.origin, found.worked = Origin.BY_HAND, None
        found.full_clean(exclude={"part", "machine"})
        return State.CHANGED, words

    def _changed(self, record: Part | Operation, values: dict[str, Any]) -> tuple[str, ...]:
        """Give a record what a row says, and say what was otherwise."""
        words = []
        for name, now in values.items():
            before = getattr(record, name)
            if _plain(before) != _plain(now):
                setattr(record, name, now)
                label = record._meta.get_field(name).verbose_name
                words.append(f"{label}: {_shown(before)} → {_shown(now)}")
        if words and record not in self.plan.changed:
            self.plan.changed.append(record)
        return tuple(words)

    def _values(self, fields: dict[str, str], cells: Cells) -> dict[str, Any]:
        """By field, what the cells of a row say."""
        values = {}
        for column, name in fields.items():
            if column in cells and (column != "name" or cells[column]):
                try:
                    values[name] = self.cells.value(column, cells[column])
                except ValueError as error:
                    raise _Wrong(column, str(error)) from error
        return values


def _plain(value: object) -> object:
    """As it is compared: a table carries no white space to speak of, and no more of a figure than it shows."""
    if isinstance(value, float | Decimal | int):
        return format(float(value), ".10g")
    return " ".join(value.split()) if isinstance(value, str) else value


def _shown(value: object) -> str:
    return _("nothing") if value in (None, "") else f"{value:g}" if isinstance(value, float) else str(value)[:60]
