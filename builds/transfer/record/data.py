"""JSON into plain data that has lost nothing: a field that stands twice, and what is no number, are refused by path."""

import json
from collections import Counter
from dataclasses import dataclass
from typing import Any

from builds.transfer.complaints import RecordError, path_of, quoted
from calcs.messages import _

Steps = tuple[int | str, ...]
# No figure of a record has more; and many more than these are no number to Python either.
MOST_DIGITS = 400


def plain_data(text: str) -> Any:
    """What stands in a JSON text. Raises RecordError that begins with the path, or names line and column."""
    marks = _Marks()
    try:
        data = json.loads(
            text, object_pairs_hook=marks.once_each, parse_constant=marks.no_number, parse_int=marks.whole
        )
    except RecursionError as error:
        sentence = _("The file is not a record: its brackets stand too deep inside one another.")
        raise RecordError("", sentence) from error
    except json.JSONDecodeError as error:
        what = _("line {line}, column {column}: {why}", line=error.lineno, column=error.colno, why=error.msg)
        raise RecordError("", _("The file is not a record: it is not JSON ({what}).", what=what)) from error
    if marks.made:
        steps, wrong = _first_wrong(data)
        raise RecordError(path_of(steps), wrong.sentence)
    return data


@dataclass(frozen=True)
class _Wrong:
    """Stands in the data where something cannot be read: the reader knows what, and only the whole knows where."""

    sentence: str


class _Marks:
    def __init__(self) -> None:
        self.made = False

    def mark(self, sentence: str) -> _Wrong:
        self.made = True
        return _Wrong(sentence)

    def once_each(self, pairs: list[tuple[str, Any]]) -> "dict[str, Any] | _Wrong":
        found = dict(pairs)
        if len(found) == len(pairs):
            return found
        twice = next(name for name, times in Counter(name for name, _value in pairs).items() if times > 1)
        sentence = _(
            "The field {name} stands twice in one object, so one of the two would be lost.", name=quoted(twice)
        )
        return self.mark(sentence)

    def no_number(self, constant: str) -> _Wrong:
        sentence = _(
            "{constant} is no number that a record can hold; leave the field out if it is not known.", constant=constant
        )
        return self.mark(sentence)

    def whole(self, digits: str) -> int | _Wrong:
        if len(digits) <= MOST_DIGITS:
            return int(digits)
        return self.mark(_("A number of {count:,} digits is more than a record can hold.", count=len(digits)))


def _first_wrong(data: Any) -> tuple[Steps, _Wrong]:
    """The first mark in the order of the file, and the keys and places that lead there."""
    waiting: list[tuple[Steps, Any]] = [((), data)]
    while waiting:
        steps, value = waiting.pop()
        if isinstance(value, _Wrong):
            return steps, value
        inner = list(value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ())
        waiting.extend(((*steps, key), one) for key, one in reversed(inner))
    raise AssertionError("what was marked stands in the data")
