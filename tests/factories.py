"""Small records for tests, through the same doors as everything else; each says only what its test is about."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal
from typing import Any

from django.contrib.auth.models import User

from builds.models import (
    Assembly,
    Batch,
    Build,
    Builder,
    Drawing,
    Entry,
    Instrument,
    Machine,
    Material,
    Measurement,
    Need,
    Offer,
    Operation,
    Part,
    Sheet,
    Size,
    Stock,
)
from builds.models.entry import new_token
from builds.services.log import entries as log
from builds.services.log import measuring
from builds.services.plan import records as plan
from builds.services.plan.drawings import add_drawing
from builds.services.shop import items as shop
from builds.services.shop.builders import builder_for
from calcs.typed.figures import read_figure
from tests import scanned

TODAY = date(2026, 11, 25)


def make_build(name: str = "Beam engine", **fields: Any) -> Build:
    """A build that began on New Year's Day of 2026, unless `started_on` says otherwise."""
    return plan.add_build(build=Build(name=name, **{"started_on": date(2026, 1, 1), **fields}), by=None)


def make_assembly(build: Build, name: str = "Cylinder", parent: Assembly | None = None) -> Assembly:
    return plan.save(record=Assembly(build=build, name=name, parent=parent), by=None)


def make_sheet(build: Build, number: str = "1", **fields: Any) -> Sheet:
    return plan.save(record=Sheet(build=build, number=number, **fields), by=None)


def make_drawing(sheet: Sheet, pages: int = 1, **fields: Any) -> Drawing:
    """A scan of a sheet, of a PDF, whose pictures are still to be made."""
    return add_drawing(sheet=sheet, upload=scanned.sent(scanned.pdf(pages)), by=None, **fields)


def make_part(
    build: Build,
    number: str = "14",
    name: str = "Piston ring",
    *,
    operations: Sequence[dict[str, Any]] = ({"kind": "making", "minutes_per_unit": 30.0},),
    **fields: Any,
) -> Part:
    """A part and its route. Each operation is a dict of fields; the numbers 10, 20, 30 come by themselves."""
    part = plan.save(record=Part(build=build, number=number, name=name, **fields), by=None)
    for position, operation in enumerate(operations, start=1):
        make_operation(part, **{"number": 10 * position, **operation})
    return part


def make_operation(part: Part, kind: str = "turning", number: int = 0, **fields: Any) -> Operation:
    number = number or 10 * (part.operations.count() + 1)
    return plan.save(record=Operation(part=part, kind=kind, number=number, **fields), by=None)


def make_need(waiting: Part | Operation, needed: Part | Operation) -> Need:
    """Say that a part or an operation needs another first."""
    return plan.save(record=Need(**_end("", waiting), **_end("needed_", needed)), by=None)


def _end(which: str, end: Part | Operation) -> dict[str, Any]:
    if isinstance(end, Operation):
        return {f"{which}part": end.part, f"{which}operation": end}
    return {f"{which}part": end}


def make_batch(part: Part, blanks: int = 10, number: int = 1, started_on: date = date(2026, 2, 1)) -> Batch:
    return plan.save(record=Batch(part=part, blanks=blanks, number=number, started_on=started_on), by=None)


def make_entry(build: Build, worked_on: date = date(2026, 3, 2), minutes: int | None = 60, **fields: Any) -> Entry:
    """One line of the log. `minutes` None is a time that is not known."""
    fields.setdefault("bench_is", "unknown" if minutes is None else "exact")
    line = log.LogLine(worked_on=worked_on, bench_minutes=minutes, **fields)
    return log.record_entry(build=build, line=line, by=fields.get("builder"), today=TODAY)


def make_user(username: str = "ada", *, owner: bool = False, name: str = "") -> User:
    """Somebody who may sign in; the password is "a long enough one"."""
    user = User(username=username, first_name=name, is_staff=owner, is_superuser=owner)
    user.set_password("a long enough one")
    user.save()
    builder_for(user=user)
    return user


def make_builder(name: str = "Ada") -> Builder:
    return Builder.objects.get_or_create(name=name)[0]


def make_machine(name: str = "Lathe", **fields: Any) -> Machine:
    return Machine.objects.create(name=name, **fields)


def make_material(name: str = "Cast iron", **fields: Any) -> Material:
    return Material.objects.create(name=name, **fields)


def make_stock(material: Material, section: str, length: str, pieces: int = 1, **fields: Any) -> Stock:
    return shop.keep(item=Stock(material=material, section=section, length=length, pieces=pieces, **fields))


def make_offer(material: Material, section: str, length: str, price: str | None = None, **fields: Any) -> Offer:
    """A length on sale; `price` in the shop's money, None where it is not known."""
    amount = None if price is None else Decimal(price)
    return shop.keep(item=Offer(material=material, section=section, length=length, price=amount, **fields))


def make_size(part: Part, name: str = "bore", made: str = "12 H7", **fields: Any) -> Size:
    return plan.save(record=Size(part=part, name=name, made=made, **fields), by=None)


def make_instrument(name: str = "Micrometer", uncertainty: str = "") -> Instrument:
    return shop.keep(item=Instrument(name=name, uncertainty=uncertainty))


def make_measurements(
    size: Size, figures: dict[int, str], *, by: Builder | None = None, token: str = "", **fields: Any
) -> list[Measurement]:
    """What was read off at some pieces, by their numbers; "go" and "no go" are what a limit gauge says."""
    of = measuring.Measuring(size=size, token=token or new_token(), **{"measured_on": TODAY, **fields})
    found = [_found(piece, text, size) for piece, text in figures.items()]
    return list(measuring.record_measurements(measuring=of, figures=found, by=by, today=TODAY).measurements)


def _found(piece: int, text: str, size: Size) -> measuring.PieceFigure:
    if text in ("go", "no go"):
        return measuring.PieceFigure(piece=piece, gauged=text)
    read = read_figure(text, size.part.build.length_unit).value
    return measuring.PieceFigure(piece=piece, typed=text, millimetres=float(read.magnitude))
