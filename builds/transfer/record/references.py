"""What a record file names, so that other parts of it may point there by number or by name."""

from typing import Generic, TypeVar

from builds.transfer.complaints import RecordError, known, plain_name, quoted
from calcs.messages import _

T = TypeVar("T")


class Register(Generic[T]):
    """Everything of one sort that a file has named: each once by its key, and perhaps by other names as well.

    what: the sort as people call it, in their language.
    """

    def __init__(self, what: str) -> None:
        self.what = what
        self.by_key: dict[str, T] = {}
        self.by_name: dict[str, list[T]] = {}

    def add(self, path: str, record: T, key: str, *names: str) -> None:
        """Raise RecordError where something has this key already. A name counts where no earlier one is meant."""
        if key in self.by_key:
            figures = {"key": _named(key), "what": self.what}
            raise RecordError(path, _("{key} stands twice: there is that {what} already.", **figures))
        self.by_key[key] = record
        for rank, name in enumerate((key, *names)):
            self.by_name.setdefault(f"{rank} {plain_name(name)}", []).append(record)

    def find(self, path: str, named: str | None) -> T | None:
        """What a field points at, or None where it is left out."""
        return self.at(path, named) if named else None

    def at(self, path: str, named: str) -> T:
        if named in self.by_key:
            return self.by_key[named]
        figures = {"what": self.what, "named": _named(named), "known": known(list(self.by_key.values()))}
        for rank in range(3 if named.strip() else 0):
            same = self.by_name.get(f"{rank} {plain_name(named)}", ())
            if len(same) == 1:
                return same[0]
            if same:
                raise RecordError(path, _("{named} is the name of more than one {what}: give the number.", **figures))
        raise RecordError(path, _("There is no {what} {named} here. Known: {known}.", **figures))


def _named(key: str) -> str:
    return key if key.isdecimal() and len(key) < 20 else quoted(key)
