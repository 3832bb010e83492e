"""What the schema finds wrong in a file, as one sentence and the path of the field."""

import math
from typing import Any

from pydantic import ValidationError

from builds.transfer.complaints import TOO_LONG, RecordError, known, path_of, quoted
from builds.transfer.record.row import Row
from builds.transfer.record.schema import FORMAT, Record
from calcs.messages import _, gettext_noop

NO_OBJECT = gettext_noop("An object in braces is wanted here, not {value}.")
NO_TEXT = gettext_noop("This holds signs that are no text.")

# By the type of pydantic's error. What the schema itself refuses comes with its own sentence.
SENTENCES = {
    "missing": gettext_noop("This is missing, and it is needed."),
    "extra_forbidden": gettext_noop("There is no field of this name. Known here: {known}."),
    "model_type": NO_OBJECT,
    "dict_type": NO_OBJECT,
    "list_type": gettext_noop("A list in brackets is wanted, not {value}."),
    "too_long": gettext_noop("This list has {length:,} rows; {max_length:,} is the most that is taken."),
    "bool_type": gettext_noop("true or false is wanted, not {value}."),
    "string_type": gettext_noop("A text in quotation marks is wanted, not {value}."),
    "string_too_long": TOO_LONG,
    "string_unicode": NO_TEXT,
    "string_pattern_mismatch": NO_TEXT,
    "string_empty": gettext_noop("This is empty, and it is needed."),
    "not_whole": gettext_noop("A whole number is wanted, not {value}."),
    "not_number": gettext_noop("A number is wanted, not {value}."),
}
MISSING = {
    "format": gettext_noop('This is missing. A record of a build says "format": "{format}".'),
    "blanks": gettext_noop("Say how many blanks the batch was started with."),
}


def refusal_of(error: ValidationError) -> RecordError:
    """Return the first thing that is wrong."""
    first = error.errors(include_url=False)[0]
    kind, steps, value, figures = first["type"], first["loc"], first["input"], first.get("ctx", {})
    if kind == "value_error":
        broken = figures["error"]
        rule = isinstance(broken, RecordError)
        return RecordError(path_of((*steps, broken.path) if rule else steps), broken.sentence if rule else str(broken))
    length = len(value) if isinstance(value, list | str) else 0
    figures = {"known": known(list(_model_at(steps).fields())), "length": length, "format": FORMAT} | figures
    return RecordError(path_of(steps), _(_sentence(kind, steps, value, figures), value=quoted(value), **figures))


def _sentence(kind: str, steps: tuple[int | str, ...], value: Any, figures: dict[str, Any]) -> str:
    if kind == "missing":
        return MISSING.get(str(steps[-1]), SENTENCES[kind])
    if kind == "string_pattern_mismatch" and not value.strip():
        kind = "string_empty"
    if "most" in figures and not _is_number(value, whole="least" in figures):
        kind = "not_whole" if "least" in figures else "not_number"
    return figures["sentence"] if kind == "refused" else SENTENCES[kind]


def _is_number(value: Any, *, whole: bool) -> bool:
    right = isinstance(value, int if whole else int | float) and not isinstance(value, bool)
    return right and -math.inf < value < math.inf


def _model_at(steps: tuple[int | str, ...]) -> type[Row]:
    """The model of the object that has the field at a path."""
    model: type[Row] = Record
    for step in steps[:-1]:
        model = model.children().get(str(step), model)
    return model
