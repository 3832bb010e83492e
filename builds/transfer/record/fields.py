"""The kinds of field that a record file has: what may stand in one, and how it is written again."""

import json
from datetime import date
from decimal import Decimal
from typing import Annotated, Any, Literal

from django.db import models
from pydantic import AfterValidator, BeforeValidator, Field, GetCoreSchemaHandler, ValidationInfo
from pydantic_core import core_schema

from builds.models.oddity import WORDS, oddity_of
from builds.transfer.complaints import known, quoted
from builds.transfer.files import MOST_MINUTES, MOST_PIECES, MOST_ROWS
from calcs.messages import _, gettext_noop

FIRST_DAY, LAST_DAY = date(1800, 1, 1), date(2400, 12, 31)
# What every database can keep: no NUL. What is needed has at least one sign that is no space.
TEXT = r"^[^\x00]*$"
NEEDED_TEXT = r"^[^\x00]*[^\s\x00\x1c-\x1f][^\x00]*$"


class Refused:
    """Has one sentence said of whatever is wrong with a value, which goes into it as {value}, as the figures do."""

    def __init__(self, sentence: str, **figures: Any) -> None:
        self.figures = {"sentence": sentence, **figures}

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> core_schema.CoreSchema:
        return core_schema.custom_error_schema(
            handler(source), "refused", custom_error_message="{sentence}", custom_error_context=self.figures
        )


def optional(default: Any = None, **more: Any) -> Any:
    """A field that is left out of the file where it stands at its default."""
    return Field(default, exclude_if=lambda value: value == default, **more)


def text(column: Any, *, needed: bool = False, or_number: bool = False) -> Any:
    """A text no longer than a model's column keeps, such as `text(Part.name)`.

    or_number: a plain whole number means the same without quotation marks.
    """
    kind = Annotated[str, Field(max_length=column.field.max_length, pattern=NEEDED_TEXT if needed else TEXT)]
    return Annotated[kind, BeforeValidator(_number_as_text, json_schema_input_type=kind | int)] if or_number else kind


def choice(choices: type[models.TextChoices], sentence: str) -> Any:
    """One of a model's choices. `sentence` says of a {value} that it is none of the {known}."""
    return Annotated[Literal[tuple(choices.values)], Refused(sentence, known=known(choices.values))]


def whole(least: int = 0, most: int = MOST_PIECES) -> Any:
    sentence = gettext_noop("A whole number from {least:,} to {most:,} is wanted, not {value}.")
    limits = Field(ge=least, le=most)
    return Annotated[int, limits, Refused(sentence, least=least, most=most), BeforeValidator(_whole)]


def not_negative(most: float = 1e9) -> Any:
    sentence = gettext_noop("A number from 0 to {most:,g} is wanted, not {value}.")
    limits = Field(ge=0, le=most, allow_inf_nan=False)
    return Annotated[float, limits, Refused(sentence, most=most)]


def positive(most: float = 1e9) -> Any:
    sentence = gettext_noop("A number more than 0 and at most {most:,g} is wanted, not {value}.")
    limits = Field(gt=0, le=most, allow_inf_nan=False)
    return Annotated[float, limits, Refused(sentence, most=most)]


def money(most: int) -> Any:
    """An amount with at most two decimals."""
    return Annotated[not_negative(most), AfterValidator(_amount)]


def written(value: Any) -> Any:
    """A value as the file has it: a number without a needless ".0", an object with its fields by name."""
    if isinstance(value, float | Decimal):
        figure = float(value)
        return int(figure) if figure.is_integer() else figure
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, list):
        return [written(one) for one in value]
    # Databases give the fields of an object back in orders of their own.
    return json.loads(json.dumps(value, sort_keys=True)) if isinstance(value, dict) else value


def rows(kind: type[Any]) -> Any:
    return Annotated[list[kind], Field(max_length=MOST_ROWS)]  # type: ignore[valid-type]


def _number_as_text(value: Any) -> Any:
    return str(value) if isinstance(value, int) and not isinstance(value, bool) else value


def _whole(value: Any) -> Any:
    return int(value) if isinstance(value, float) and value.is_integer() else value


def _amount(value: float) -> Decimal:
    written = Decimal(repr(value))
    amount = written.quantize(Decimal("0.01"))
    if amount != written:
        raise ValueError(_("An amount with at most two decimals is wanted, not {value}.", value=value))
    return amount


def _day(value: Any, info: ValidationInfo) -> date:
    """A date as it stands in the file, moved by the days that everything moves by."""
    try:
        if not isinstance(value, str) or len(value) != 10:
            raise ValueError
        read = date.fromisoformat(value)
    except ValueError:
        raise ValueError(_("A date like 2026-03-14 is wanted, not {value}.", value=quoted(value))) from None
    if not FIRST_DAY <= read <= LAST_DAY:
        years = {"first": FIRST_DAY.year, "last": LAST_DAY.year, "value": quoted(value)}
        raise ValueError(_("A date from {first} to {last} is wanted, not {value}.", **years))
    try:
        return read + info.context["shift"]
    except OverflowError:
        days = info.context["shift"].days
        raise ValueError(_("{days:,} days later, this would leave the calendar.", days=days)) from None


def _fit_to_keep(value: dict[str, Any]) -> dict[str, Any]:
    if not _can_be_kept(value, depth=8):
        raise ValueError(_("This holds something that is no text, no number and no list of these."))
    return value


def _can_be_kept(value: object, depth: int) -> bool:
    if value is None or isinstance(value, bool):
        return True
    if isinstance(value, int | float):
        return abs(value) < 1e15
    if isinstance(value, str):
        return len(value) <= 4000 and not any(sign == "\0" or "\ud800" <= sign <= "\udfff" for sign in value)
    if depth == 0 or not isinstance(value, list | dict) or len(value) > 200:
        return False
    inner = [*value, *value.values()] if isinstance(value, dict) else value
    return all(_can_be_kept(one, depth - 1) for one in inner)


def _known_oddity(value: dict[str, Any]) -> dict[str, Any]:
    try:
        oddity_of(value)
    except ValueError:
        kinds = known(list(WORDS))
        sentence = _("This is no oddity with whole figures that is known. Known oddities: {known}.", known=kinds)
        raise ValueError(sentence) from None
    return value


Day = Annotated[date, BeforeValidator(_day)]
Count = whole()
Minutes = whole(most=MOST_MINUTES)
# An object whose inside nobody here looks into.
Inside = Annotated[dict, AfterValidator(_fit_to_keep)]
# What was odd about an entry.
Remarked = Annotated[dict, AfterValidator(_fit_to_keep), AfterValidator(_known_oddity)]
Reference = Annotated[
    str | int,
    AfterValidator(str),
    Refused(gettext_noop("A number or a name is wanted to say which is meant, not {value}.")),
]
