"""What was measured at pieces, written down; a figure is never changed: measured again, the newest counts."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from django.core.exceptions import ValidationError
from django.db import IntegrityError

from builds.models import Batch, Builder, Instrument, Measurement, Operation, Size
from builds.models.choices import EventType
from builds.services.changes import change, write
from calcs.messages import _


@dataclass(frozen=True, kw_only=True)
class PieceFigure:
    """What was found at one piece: a figure as typed with its millimetres, or what a limit gauge says (`Gauged`)."""

    piece: int
    typed: str = ""
    millimetres: float | None = None
    gauged: str = ""

    def token(self, form: str) -> str:
        """What makes it known again: the form it came with, its piece and what was found, so that another is new."""
        found = f"{self.typed}|{self.gauged}"
        return f"{form[:40]}-{self.piece}-{hashlib.sha256(found.encode()).hexdigest()[:10]}"


@dataclass(frozen=True, kw_only=True)
class Measuring:
    """What some pieces have in common: the size, the batch they are of, after which operation, with what, and when."""

    size: Size
    measured_on: date
    batch: Batch | None = None
    operation: Operation | None = None
    instrument: Instrument | None = None
    token: str


@dataclass(frozen=True)
class Measured:
    """again: whether all of it had been sent before by the same form."""

    measurements: tuple[Measurement, ...]
    again: bool = False


def record_measurements(
    *, measuring: Measuring, figures: Sequence[PieceFigure], by: Builder | None, today: date
) -> Measured:
    """Keep the figures, all or none, as one event. No piece is counted by it.

    What the same form has brought already is not kept twice. Raises ValidationError with a sentence a field.
    """
    if not figures:
        raise ValidationError(_("There is nothing to keep yet: give a figure, or say whether the gauge went."))
    check_measuring(measuring, figures, today)
    known = _already(measuring, figures)
    fresh = [one for one in figures if one.token(measuring.token) not in known]
    if fresh:
        try:
            known |= _write_all(measuring, fresh, by)
        except (IntegrityError, ValidationError):
            if len(_already(measuring, figures)) == len(known):
                raise
            # The same form, sent twice at the same moment: the other request won.
            return record_measurements(measuring=measuring, figures=figures, by=by, today=today)
    return Measured(tuple(known[one.token(measuring.token)] for one in figures), again=not fresh)


def check_measuring(measuring: Measuring, figures: Sequence[PieceFigure], today: date) -> None:
    """What the table's own constraints cannot see. Raises ValidationError with a sentence a field."""
    part = measuring.size.part
    if measuring.measured_on > today:
        raise ValidationError({"measured_on": _("That day has not come yet.")})
    if measuring.operation is not None and measuring.operation.part_id != part.pk:
        message = _("{operation} is not on the route of {part}.", operation=measuring.operation, part=part)
        raise ValidationError({"operation": message})
    if measuring.batch is not None and measuring.batch.part_id != part.pk:
        raise ValidationError({"batch": _("That batch is not one of {part}.", part=part)})
    last = max(one.piece for one in figures)
    if measuring.batch is not None and last > measuring.batch.blanks:
        message = _("There is no piece {piece} in {batch}.", piece=last, batch=measuring.batch)
        raise ValidationError({"batch": message})


def _write_all(measuring: Measuring, figures: Sequence[PieceFigure], by: Builder | None) -> dict[str, Measurement]:
    size = measuring.size
    details = {"pieces": len(figures), "size": size.name, "part": str(size.part)}
    written: dict[str, Measurement] = {}
    with change(build=size.part.build, by=by, type=EventType.MEASURE, details=details):
        for one in figures:
            token = one.token(measuring.token)
            written[token] = measurement_for(measuring, one, by, token)
            write(written[token])
    return written


def measurement_for(measuring: Measuring, figure: PieceFigure, by: Builder | None, token: str) -> Measurement:
    """The measurement that a figure makes, not saved."""
    return Measurement(
        size=measuring.size,
        batch=measuring.batch,
        operation=measuring.operation,
        instrument=measuring.instrument,
        measured_on=measuring.measured_on,
        piece=figure.piece,
        typed=figure.typed,
        millimetres=figure.millimetres,
        gauged=figure.gauged,
        by=by,
        token=token,
    )


def _already(measuring: Measuring, figures: Sequence[PieceFigure]) -> dict[str, Measurement]:
    tokens = [one.token(measuring.token) for one in figures]
    return {one.token: one for one in Measurement.objects.filter(size=measuring.size, token__in=tokens)}
