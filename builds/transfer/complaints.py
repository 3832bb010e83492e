"""What is said of a file that cannot be taken in. Nothing has been written when one of these is raised."""

from collections.abc import Sequence
from dataclasses import dataclass

from calcs.messages import _, gettext_noop

COMPLAINTS_SHOWN = 20
TOO_LONG = gettext_noop("This is {length:,} characters long; {max_length:,} is the most that is kept.")
NOT_SHOP_TIME = gettext_noop("{value} is not shop time. Known activities: {known}.")


class RecordError(ValueError):
    """A record file is not right. The message begins with the path of the field ("parts[3].name: …")."""

    def __init__(self, path: str, sentence: str) -> None:
        self.path = path
        self.sentence = sentence
        super().__init__(f"{path}: {sentence}" if path else sentence)


@dataclass(frozen=True)
class Complaint:
    """What is wrong with a table: in which row, as a spreadsheet counts it, under which heading of the file.

    row: None where it is the table as a whole.
    """

    name: str
    sentence: str
    row: int | None = None
    column: str = ""

    def __str__(self) -> str:
        figures = {"name": self.name, "row": self.row, "column": quoted(self.column), "sentence": self.sentence}
        if self.row is None and not self.column:
            return _("{name}: {sentence}", **figures)
        if self.row is None:
            return _("{name}, column {column}: {sentence}", **figures)
        if not self.column:
            return _("{name}, row {row}: {sentence}", **figures)
        return _("{name}, row {row}, column {column}: {sentence}", **figures)


class LogError(ValueError):
    """A table is not right. The message has a line for each complaint, at most twenty of them."""

    def __init__(self, complaints: Sequence["str | Complaint"]) -> None:
        self.found = tuple(complaints)
        self.complaints = tuple(str(complaint) for complaint in complaints)
        lines = list(self.complaints[:COMPLAINTS_SHOWN])
        more = len(self.complaints) - len(lines)
        if more:
            lines.append(_("… and {more} more of the kind.", more=more))
        super().__init__("\n".join(lines))


def quoted(value: object, limit: int = 60) -> str:
    """A value from a file, on one line and in quotation marks where it is text, fit to stand in a sentence."""
    if value is None:
        return "null"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return _("an object in braces")
    if isinstance(value, list):
        return _("a list in brackets")
    if isinstance(value, int) and abs(value) > 10**18:
        return _("an endless number")
    # Half a sign, which JSON can hold and no terminal can show, becomes a question mark.
    text = " ".join(str(value).encode(errors="replace").decode().split())
    if len(text) > limit:
        text = text[: limit - 1] + "…"
    return f'"{text}"' if isinstance(value, str) else text


def path_of(steps: tuple[int | str, ...]) -> str:
    """The path of a field as complaints begin with it, from the keys and places that lead there."""
    path = ""
    for step in steps:
        path += f"[{step}]" if isinstance(step, int) else f".{step if step.isidentifier() else quoted(step)}"
    return path.removeprefix(".")


def known(values: Sequence[object], limit: int = 24) -> str:
    """What there would be to choose from, as a list in words."""
    names = ", ".join(str(value) for value in values[:limit])
    if len(values) > limit:
        return _("{names} and {more} more", names=names, more=len(values) - limit)
    return names or _("none")


def plain_name(name: str) -> str:
    """A name as it is compared: whichever way it is capitalised and spaced."""
    return " ".join(name.casefold().split())
