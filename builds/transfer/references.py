"""What a record file names, so that other parts of it may point there by number or by name."""

from typing import Generic, TypeVar

from builds.transfer.complaints import RecordError, known, quoted
from builds.transfer.fields import Fields

T = TypeVar("T")


class Register(Generic[T]):
    """Everything of one sort that a file has named: each once by its key, and perhaps by a name as well."""

    def __init__(self, what: str, plural: str) -> None:
        self.what = what
        self.plural = plural
        self.by_key: dict[str, T] = {}
        self.by_name: dict[str, list[T]] = {}

    def add(self, fields: Fields, field: str, key: str, record: T, name: str = "") -> None:
        if key in self.by_key:
            fields.refuse(field, f"{quoted(key)} stands twice; each {self.what} has its own.")
        self.by_key[key] = record
        for other in {_plain(key), _plain(name)} - {""}:
            self.by_name.setdefault(other, []).append(record)

    def replace(self, key: str, record: T) -> None:
        """Let a key stand for another record than the one that was added with it."""
        self.by_key[key] = record
        self.by_name[_plain(key)] = [r for k, r in self.by_key.items() if _plain(k) == _plain(key)]

    def find(self, fields: Fields, field: str) -> T | None:
        """What a field points at, or None where it is left out."""
        value = fields.raw(field)
        return None if value in (None, "") else self.at(fields.at(field), value)

    def find_all(self, fields: Fields, field: str) -> list[T]:
        return [self.at(f"{fields.at(field)}[{i}]", value) for i, value in enumerate(fields.listed(field))]

    def at(self, path: str, value: object) -> T:
        if isinstance(value, bool) or not isinstance(value, str | int):
            raise RecordError(path, f"The number or name of a {self.what} is wanted, not {quoted(value)}.")
        if str(value) in self.by_key:
            return self.by_key[str(value)]
        same = self.by_name.get(_plain(str(value)), [])
        if len(same) > 1:
            raise RecordError(path, f"{quoted(value)} is the name of {len(same)} {self.plural}: give the number.")
        if not same:
            raise RecordError(
                path, f"There is no {self.what} {quoted(value)} in this file. Known: {known(list(self.by_key))}."
            )
        return same[0]


def _plain(name: str) -> str:
    return " ".join(name.casefold().split())
