"""A checked record on its way into the database: section by section, each tied to those before it."""

import hashlib
import json
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from datetime import date
from functools import cache, partial
from typing import Any, TypeVar

from django.core.exceptions import ValidationError
from django.db import models

from builds.models import (
    Assembly,
    Batch,
    Build,
    Builder,
    Closure,
    Entry,
    Event,
    Exhibit,
    Instrument,
    Machine,
    Material,
    Milestone,
    Need,
    Offer,
    Operation,
    Part,
    Remark,
    Sheet,
    Shop,
    Size,
    Stock,
)
from builds.models.choices import Role
from builds.services.log.entries import check_entry
from builds.transfer.complaints import RecordError, known, quoted
from builds.transfer.record import allowed, schema
from builds.transfer.record.needs import tied_needs
from builds.transfer.record.references import Register
from builds.transfer.record.row import Row
from builds.transfer.saving import save_all
from calcs.messages import _

# Which section a field points into.
SECTION_OF = {
    "machine": "machines",
    "material": "materials",
    "assembly": "assemblies",
    "sheet": "sheets",
    "part": "parts",
    "entry": "entries",
}

Kept = TypeVar("Kept", bound=models.Model)


class Intake:
    """What has been taken in so far. `today` is the last day that an entry may have.

    A reference that leads nowhere raises RecordError; whoever calls takes back what was written until then.
    """

    def __init__(self, build: Build, event: Event, today: date) -> None:
        self.build, self.event, self.today = build, event, today
        self.notes: list[str] = []
        self.registers: dict[str, Register[Any]] = {
            "machines": Register(_("machine")),
            "materials": Register(_("material")),
            "instruments": Register(_("measuring instrument")),
            "assemblies": Register(_("assembly")),
            "sheets": Register(_("sheet")),
            "parts": Register(_("part")),
            "milestones": Register(_("milestone")),
            "entries": Register(_("entry")),
        }
        self.routes: dict[Part | None, Register[Operation]] = defaultdict(lambda: Register(_("operation")))
        self.batches: dict[Part | None, Register[Batch]] = defaultdict(lambda: Register(_("batch")))
        self.sizes: dict[Part | None, Register[Size]] = defaultdict(lambda: Register(_("size")))

    def take(self, record: schema.Record, entries_as_written: Sequence[Mapping[str, Any]]) -> None:
        """Take everything in but the photos and the drawings."""
        self._take_shop(Machine, "machines", record.machines)
        self._take_shop(Material, "materials", record.materials)
        self._take_shop(Instrument, "instruments", record.instruments)
        self.save(Stock, self._new_in_shop(Stock, "stock", record.stock))
        Offer.objects.bulk_create(self._new_in_shop(Offer, "offers", record.offers))
        self._take_assemblies(record.assemblies)
        sheets = list(self._section(Sheet, "sheets", record.sheets))
        self.save(Sheet, (sheet for path, row, sheet in sheets))
        self._take_remarks(sheets)
        self._take_parts(record.parts)
        self._take_batches(record.batches)
        self.save(Closure, (made(Closure, row, build=self.build) for row in record.closures))
        self._take_milestones(record.milestones)
        self._take_entries(record.entries, entries_as_written)
        if record.exhibit is not None:
            self.save(Exhibit, [made(Exhibit, record.exhibit, build=self.build)])

    def tied(self, model: type[Kept], path: str, row: Row, **links: Any) -> Kept:
        """A record of the build that is not saved yet, with what its row points at."""
        said = vars(row)
        for name, section in SECTION_OF.items():
            if name in said and name not in links:
                links[name] = self.registers[section].find(f"{path}.{name}", said[name])
        return made(model, row, build=self.build, **links)

    def save(self, model: type[Kept], records: Iterable[Kept]) -> None:
        save_all(model, records, self.event)

    def _section(
        self, model: type[Kept], section: str, rows: Sequence[Any], **links: Any
    ) -> Iterator[tuple[str, Any, Kept]]:
        """The rows of a section, each with its path ("parts[3]") and its record, which is in the register by then."""
        for place, row in enumerate(rows):
            path = f"{section}[{place}]"
            record = self.tied(model, path, row, position=place, **links, **_role(row))
            names = [name for name in ("number", "name", "title") if name in type(row).model_fields]
            self.registers[section].add(f"{path}.{names[0]}", record, *(getattr(row, name) for name in names))
            yield path, row, record

    def _take_shop(self, model: type[Any], section: str, rows: Sequence[Any]) -> None:
        """What is shared by all builds: a row that the shop has already keeps the shop's figures."""
        register = self.registers[section]
        of_shop = {record.name: record for record in model.objects.filter(name__in=[row.name for row in rows])}
        for place, row in enumerate(rows):
            record = made(model, row)
            kept = of_shop.get(row.name, record)
            register.add(f"{section}[{place}].name", kept, row.name)
            columns = [column for column in model._meta.concrete_fields if column.name != "id"]
            differing = [c.verbose_name for c in columns if getattr(kept, c.name) != getattr(record, c.name)]
            if differing:
                note = _(
                    "The shop has the {what} {name} already, and its own figures were kept; "
                    "the file has another {differing}.",
                    what=register.what, name=quoted(row.name), differing=known(differing),
                )  # fmt: skip
                self.notes.append(note)
        if model.objects.bulk_create(record for record in register.by_key.values() if record.pk is None):
            Shop.raise_revision()
        if hasattr(self.build, section):
            getattr(self.build, section).set(register.by_key.values())

    def _new_in_shop(self, model: type[Kept], section: str, rows: Sequence[Any]) -> list[Kept]:
        """Stock, or lengths on sale, of which the shop has no row yet: where it has one, that stays as it is."""
        known = set(model._default_manager.values_list("material", "section", "length", "units"))
        fresh = []
        for place, row in enumerate(rows):
            path = f"{section}[{place}]"
            material = self.registers["materials"].at(f"{path}.material", row.material)
            record = made(model, row, material=material)
            checked(path, type(row), record.clean)
            if (material.pk, row.section, row.length, row.units) not in known:
                fresh.append(record)
        if fresh:
            Shop.raise_revision()
        return fresh

    def _take_assemblies(self, rows: Sequence[schema.Assembly]) -> None:
        taken = list(self._section(Assembly, "assemblies", rows, parent=None))
        # An assembly may stand in one that comes later in the file, so parents wait until all are known.
        for path, row, assembly in taken:
            assembly.parent = above = self.registers["assemblies"].find(f"{path}.parent", row.parent)
            while above is not None:
                if above is assembly:
                    sentence = _("An assembly cannot stand inside itself, nor inside one that it holds.")
                    raise RecordError(f"{path}.parent", sentence)
                above = above.parent
        waiting = [assembly for path, row, assembly in taken]
        while waiting:
            self.save(Assembly, [a for a in waiting if a.parent is None or a.parent.pk is not None])
            waiting = [a for a in waiting if a.pk is None]

    def _take_remarks(self, sheets: Sequence[tuple[str, schema.Sheet, Sheet]]) -> None:
        people = builders_named(remark.by for path, row, sheet in sheets for remark in row.remarks)
        tied = ((remark, sheet) for path, row, sheet in sheets for remark in row.remarks)
        self.save(Remark, (made(Remark, row, sheet=sheet, by=people.get(row.by or "")) for row, sheet in tied))

    def _take_parts(self, rows: Sequence[schema.Part]) -> None:
        taken = list(self._section(Part, "parts", rows))
        self.save(Part, (part for path, row, part in taken))
        for path, row, part in taken:
            for place, size in enumerate(row.sizes):
                self.sizes[part].add(f"{path}.sizes[{place}].name", made(Size, size, part=part), size.name)
            last = 0
            for place, operation in enumerate(row.operations):
                at = f"{path}.operations[{place}]"
                last = last + 10 if operation.number is None else operation.number
                record = self.tied(Operation, at, operation, part=part, number=last)
                self.routes[part].add(f"{at}.number", record, str(last), operation.title, operation.kind)
        self.save(Operation, (operation for route in self.routes.values() for operation in route.by_key.values()))
        self.save(Size, (size for of_part in self.sizes.values() for size in of_part.by_key.values()))
        self.save(Need, tied_needs(taken, self.registers["parts"], self.routes))

    def _take_batches(self, rows: Sequence[schema.Batch]) -> None:
        for place, row in enumerate(rows):
            path = f"batches[{place}]"
            part = self.registers["parts"].at(f"{path}.part", row.part)
            there = self.batches[part]
            number = max(map(int, there.by_key), default=0) + 1 if row.number is None else row.number
            batch = made(Batch, row, part=part, number=number)
            checked(path, schema.Batch, batch.clean)
            there.add(f"{path}.number", batch, str(number))
        self.save(Batch, (batch for of_part in self.batches.values() for batch in of_part.by_key.values()))

    def _take_milestones(self, rows: Sequence[schema.Milestone]) -> None:
        for path, row, milestone in self._section(Milestone, "milestones", rows):
            milestone.save()
            for section in ("parts", "assemblies"):
                named = enumerate(getattr(row, section))
                pointed_at = [self.registers[section].at(f"{path}.{section}[{n}]", name) for n, name in named]
                getattr(milestone, section).set(pointed_at)
            milestone.operations.set(self._step(f"{path}.operations[{n}]", at) for n, at in enumerate(row.operations))

    def _step(self, path: str, row: schema.Step) -> Operation:
        return self.routes[self.registers["parts"].at(f"{path}.part", row.part)].at(f"{path}.operation", row.operation)

    def _take_entries(self, rows: Sequence[schema.Entry], as_written: Sequence[Mapping[str, Any]]) -> None:
        builders = builders_named(row.builder for row in rows)
        register = self.registers["entries"]
        for place, row in enumerate(rows):
            path = f"entries[{place}]"
            token = row.token or _token(as_written[place], place)
            builder = builders.get(row.builder or "")
            entry = self.tied(Entry, path, row, token=token, builder=builder, operation=None, batch=None)
            entry.operation = self._operation(path, row, entry.part)
            entry.batch = None if row.batch is None else self.batches[entry.part].at(f"{path}.batch", str(row.batch))
            checked(path, schema.Entry, partial(check_entry, entry, self.today))
            register.add(f"{path}.token", entry, token)
        self.save(Entry, register.by_key.values())

    def _operation(self, path: str, row: schema.Entry, part: Part | None) -> Operation | None:
        route = self.routes[part]
        if row.operation is not None:
            return route.at(f"{path}.operation", row.operation)
        # Left out, a route of one operation leaves no doubt which it was. Null says that it was none in particular.
        only = len(route.by_key) == 1 and "operation" not in row.model_fields_set
        return next(iter(route.by_key.values())) if only else None


def builders_named(said: Iterable[str | None]) -> dict[str, Builder]:
    """The builders of these names, those that nobody knew yet among them."""
    names = dict.fromkeys(name for name in said if name and name.strip())
    builders = {builder.name: builder for builder in Builder.objects.filter(name__in=names)}
    new = Builder.objects.bulk_create(Builder(name=name) for name in names if name not in builders)
    return builders | {builder.name: builder for builder in new}


def checked(path: str, kind: type[Row], check: Callable[[], None]) -> None:
    """Raise RecordError with the path of the field that a check of the record refuses."""
    try:
        check()
    except ValidationError as error:
        for column, sentences in error.message_dict.items():
            name = kind.model_fields[column].alias or column
            raise RecordError(f"{path}.{name}", " ".join(sentences)) from error


def made(model: type[Kept], row: Row, **links: Any) -> Kept:
    """A record that is not saved yet: what its row says of it, and what it belongs to and points at."""
    said = vars(row) | links
    return model(**{name: said[name] for name in columns_of(model) if name in said})


@cache
def columns_of(model: type[models.Model]) -> frozenset[str]:
    return frozenset(field.name for field in model._meta.concrete_fields)


def _role(row: Row) -> dict[str, str]:
    """Bought parts have always been told by their source."""
    bought = isinstance(row, schema.Part) and row.source == allowed.Source.BOUGHT
    return {"role": Role.BOUGHT.value} if bought else {}


def _token(written: Mapping[str, Any], place: int) -> str:
    """The same entry at the same place of a file has the same token, however often the file is read."""
    content = json.dumps(written, sort_keys=True)
    return "record-" + hashlib.sha256(f"{place}|{content}".encode()).hexdigest()[:40]
