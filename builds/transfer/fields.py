"""Reading one object of a record file field by field: every expectation that fails names the path of its field."""

import math
from collections.abc import Sequence
from datetime import date, timedelta
from decimal import Decimal
from typing import Any, NoReturn

from django.db import models

from builds.transfer.complaints import RecordError, known, quoted

MOST_ROWS = 50_000
MOST_MINUTES = 10_000_000
MOST_PIECES = 1_000_000
FIRST_DAY, LAST_DAY = date(1800, 1, 1), date(2400, 12, 31)


class Fields:
    """One object of the file. Fields that nobody asked for by the time of `done` are refused.

    A field that is null counts as left out. `shift` is added to every date.
    """

    def __init__(self, data: object, path: str, shift: timedelta = timedelta(0)) -> None:
        self.path = path
        self.shift = shift
        if not isinstance(data, dict):
            raise RecordError(path, f"An object in braces is wanted here, not {quoted(data)}.")
        self._data: dict[str, Any] = data
        self._asked: dict[str, None] = {}

    def at(self, name: str) -> str:
        return f"{self.path}.{name}" if self.path else name

    def refuse(self, name: str, sentence: str) -> NoReturn:
        raise RecordError(self.at(name), sentence)

    def done(self) -> None:
        for name in self._data:
            if name not in self._asked:
                raise RecordError(
                    self.at(name if name.isidentifier() else quoted(name)),
                    f"There is no field of this name. Known here: {known(list(self._asked))}.",
                )

    def has(self, name: str) -> bool:
        """Whether the field is there at all, null or not."""
        return name in self._data

    def as_read(self) -> dict[str, Any]:
        """The whole object, as it stands in the file."""
        return dict(self._data)

    def raw(self, name: str) -> Any:
        """The value as it stands in the file, or None."""
        self._asked[name] = None
        return self._data.get(name)

    def text(self, name: str, longest: int, *, needed: bool = False, default: str = "", or_number: bool = False) -> str:
        """A text. or_number: a plain whole number means the same without quotation marks."""
        value = self.raw(name)
        if value is None and not needed:
            return default
        if value is None:
            self.refuse(name, "This is missing, and it is needed.")
        if or_number and isinstance(value, int) and not isinstance(value, bool):
            value = str(value)
        if not isinstance(value, str):
            self.refuse(name, f"A text in quotation marks is wanted, not {quoted(value)}.")
        if needed and not value.strip():
            self.refuse(name, "This is empty, and it is needed.")
        if len(value) > longest:
            self.refuse(name, f"This is {len(value):,} characters long; {longest:,} is the most that is kept.")
        if not _is_text(value):
            self.refuse(name, "This holds signs that are no text.")
        return value

    def of_model(
        self, name: str, model: type[models.Model], field: str = "", *, needed: bool = False, or_number: bool = False
    ) -> str:
        """A text no longer than the model's field of the same name keeps."""
        longest = model._meta.get_field(field or name).max_length  # type: ignore[union-attr]
        return self.text(name, longest or 4000, needed=needed, or_number=or_number)

    def choice(self, name: str, choices: type[models.TextChoices], what: str, plural: str, default: str) -> str:
        """One of a model's choices. `what` is what a wrong value is not ("a kind of operation"), `plural` names all."""
        value = self.raw(name)
        if value is None:
            return default
        if not isinstance(value, str) or value not in choices.values:
            self.refuse(name, f"{quoted(value)} is not {what}. Known {plural}: {known(choices.values)}.")
        return value

    def truth(self, name: str, *, default: bool) -> bool:
        value = self.raw(name)
        if value is None:
            return default
        if not isinstance(value, bool):
            self.refuse(name, f"true or false is wanted, not {quoted(value)}.")
        return value

    def whole(self, name: str, default: int | None, *, least: int = 0, most: int = MOST_PIECES) -> int | None:
        value = self.raw(name)
        if value is None:
            return default
        if isinstance(value, float) and value.is_integer():
            value = int(value)
        if isinstance(value, bool) or not isinstance(value, int):
            self.refuse(name, f"A whole number is wanted, not {quoted(value)}.")
        if not least <= value <= most:
            self.refuse(name, f"A whole number from {least:,} to {most:,} is wanted, not {quoted(value)}.")
        return value

    def count(self, name: str, default: int = 0, *, least: int = 0, most: int = MOST_PIECES) -> int:
        value = self.whole(name, default, least=least, most=most)
        return default if value is None else value

    def number(
        self, name: str, default: float | None, *, least: float = 0, most: float = 1e9, above: bool = False
    ) -> float | None:
        """A finite number from `least` to `most`; with `above` it must be more than `least`."""
        value = self.raw(name)
        return default if value is None else self.as_number(name, value, least=least, most=most, above=above)

    def figure(self, name: str, default: float, *, least: float = 0, most: float = 1e9, above: bool = False) -> float:
        """A number that has a default, so that it is never None."""
        read = self.number(name, default, least=least, most=most, above=above)
        return default if read is None else read

    def as_number(self, name: str, value: object, *, least: float, most: float, above: bool) -> float:
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.refuse(name, f"A number is wanted, not {quoted(value)}.")
        if isinstance(value, float) and not math.isfinite(value):
            self.refuse(name, f"A number is wanted, not {quoted(value)}.")
        if value > most or value < least or (above and value == least):
            start = f"more than {least:,g} and at most" if above else f"from {least:,g} to"
            self.refuse(name, f"A number {start} {most:,g} is wanted, not {quoted(value)}.")
        # The sum turns -0.0, which would be written differently the next time, into 0.0.
        return float(value) + 0.0

    def money(self, name: str, most: int) -> Decimal | None:
        """An amount with at most two decimals."""
        value = self.number(name, None, most=most)
        if value is None:
            return None
        amount = Decimal(repr(value)).quantize(Decimal("0.01"))
        if amount != Decimal(repr(value)):
            self.refuse(name, f"An amount with at most two decimals is wanted, not {quoted(value)}.")
        return amount

    def plain_object(self, name: str) -> dict[str, Any] | None:
        """An object whose inside nobody here looks into: texts, numbers and lists, as long as they can be kept."""
        value = self.raw(name)
        if value is None:
            return None
        if not isinstance(value, dict):
            self.refuse(name, f"An object in braces is wanted here, not {quoted(value)}.")
        if not _can_be_kept(value, depth=8):
            self.refuse(name, "This holds something that is no text, no number and no list of these.")
        return value

    def day(self, name: str) -> date | None:
        return None if self.raw(name) is None else self.needed_day(name)

    def needed_day(self, name: str) -> date:
        value = self.raw(name)
        if value is None:
            self.refuse(name, "This date is missing, and it is needed.")
        try:
            if not isinstance(value, str) or len(value) != 10:
                raise ValueError
            read = date.fromisoformat(value)
        except ValueError:
            self.refuse(name, f"A date like 2026-03-14 is wanted, not {quoted(value)}.")
        if not FIRST_DAY <= read <= LAST_DAY:
            self.refuse(name, f"A date from {FIRST_DAY.year} to {LAST_DAY.year} is wanted, not {quoted(value)}.")
        try:
            return read + self.shift
        except OverflowError:
            self.refuse(name, f"{self.shift.days:,} days later, this would leave the calendar.")

    def listed(self, name: str) -> Sequence[Any]:
        value = self.raw(name)
        if value is None:
            return ()
        if not isinstance(value, list):
            self.refuse(name, f"A list in brackets is wanted, not {quoted(value)}.")
        if len(value) > MOST_ROWS:
            self.refuse(name, f"This list has {len(value):,} rows; {MOST_ROWS:,} is the most that is taken.")
        return value

    def rows(self, name: str) -> Sequence["Fields"]:
        """The objects of a list, each with its own path ("parts[3]")."""
        return [Fields(row, f"{self.at(name)}[{i}]", self.shift) for i, row in enumerate(self.listed(name))]

    def object(self, name: str) -> "Fields":
        if not self.has(name):
            self.refuse(name, "This is missing, and it is needed.")
        return Fields(self.raw(name), self.at(name), self.shift)


def _is_text(value: str) -> bool:
    """Whether every sign of it can be kept by every database: no NUL, and no half of a sign."""
    return not any(sign == "\0" or "\ud800" <= sign <= "\udfff" for sign in value)


def _can_be_kept(value: object, depth: int) -> bool:
    if value is None or isinstance(value, bool):
        return True
    if isinstance(value, int | float):
        return abs(value) < 1e15
    if isinstance(value, str):
        return len(value) <= 4000 and _is_text(value)
    if depth == 0 or not isinstance(value, list | dict) or len(value) > 200:
        return False
    inner = [*value, *value.values()] if isinstance(value, dict) else value
    return all(_can_be_kept(one, depth - 1) for one in inner)
