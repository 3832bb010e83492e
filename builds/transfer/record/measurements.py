"""The figures of a record file that were measured at pieces."""

import hashlib
from collections.abc import Sequence
from functools import partial

from builds.models import Measurement
from builds.services.log.measuring import Measuring, PieceFigure, check_measuring
from builds.transfer.record import schema
from builds.transfer.record.intake import Intake, builders_named, checked, made
from builds.transfer.record.references import Register
from calcs.messages import _


def take_measurements(intake: Intake, rows: Sequence[schema.Measurement]) -> None:
    """After the entries, whose builders may have measured, too."""
    builders = builders_named(row.by for row in rows)
    register: Register[Measurement] = Register(_("measurement"))
    for place, row in enumerate(rows):
        path = f"measurements[{place}]"
        measurement = _tied(intake, path, row, token=row.token or _token(place, row), by=builders.get(row.by or ""))
        register.add(f"{path}.token", measurement, f"{measurement.size_id} {measurement.token}")
    intake.save(Measurement, register.by_key.values())


def _tied(intake: Intake, path: str, row: schema.Measurement, **links: object) -> Measurement:
    part = intake.registers["parts"].at(f"{path}.part", row.part)
    size = intake.sizes[part].at(f"{path}.size", row.size)
    batch = None if row.batch is None else intake.batches[part].at(f"{path}.batch", str(row.batch))
    operation = intake.routes[part].find(f"{path}.operation", row.operation)
    instrument = intake.registers["instruments"].find(f"{path}.instrument", row.instrument)
    of = {"size": size, "batch": batch, "operation": operation, "instrument": instrument}
    measuring = Measuring(measured_on=row.measured_on, token=row.token, **of)  # type: ignore[arg-type]
    figure = PieceFigure(piece=row.piece)
    checked(path, schema.Measurement, partial(check_measuring, measuring, [figure], intake.today))
    return made(Measurement, row, **of, **links)


def _token(place: int, row: schema.Measurement) -> str:
    """The same figure at the same place of a file has the same token, however often the file is read."""
    return "record-" + hashlib.sha256(f"{place}|{row!r}".encode()).hexdigest()[:40]
