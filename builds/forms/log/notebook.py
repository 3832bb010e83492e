"""The notebook line on the bench: what it says is put into the fields of the evening, and shown before it is logged."""

from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy

from builds.forms.log.work import WorkChoices
from builds.queries.log.notebook import work_names
from builds.queries.snapshot import PartsAtHand
from calcs.messages import _, ngettext
from calcs.typed.notebook import NotebookLine, read_notebook_line
from calcs.typed.reading import quote_input

LONGEST_LINE = 400


class NotebookForm(forms.Form):
    """line: as it was written. line_read: the line that the fields were filled from; another one is read first."""

    line = forms.CharField(
        label=gettext_lazy("The evening in one line"),
        required=False,
        max_length=LONGEST_LINE,
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "off"}),
    )
    line_read = forms.CharField(required=False, max_length=LONGEST_LINE, widget=forms.HiddenInput)

    @property
    def unread(self) -> str:
        """The line, where it has not been read into the fields yet."""
        line, read = (str(self.data.get(name) or "").strip() for name in ("line", "line_read"))
        return line if line != read else ""


class Notebook:
    """Reads lines with what there is to work on in a build, which is read once.

    with_batches: whether the form has a field for one; a batch that is named stands in the note otherwise.
    """

    def __init__(self, at_hand: PartsAtHand, *, with_batches: bool = True) -> None:
        self._at_hand = at_hand
        self._today = at_hand.as_of
        self._names = work_names(at_hand, with_batches=with_batches)

    def read(self, line: str, on: date | None = None) -> NotebookLine:
        """A line of a day, today's unless it is said."""
        return read_notebook_line(line, self._names, on or self._today)

    def into_fields(
        self, data: QueryDict, line: str, before: str, prefix: str = "form-0-", *, shared: str = ""
    ) -> NotebookLine:
        """Put a line into the fields of a form that was sent. What `before`, the last line read, gave goes.

        prefix: of its fields; shared: of the fields for the days and the line itself.
        """
        on = parse_day(data.get(f"{shared}worked_on", ""))
        for name, value in field_values(self.read(before, on)).items() if before else ():
            if data.get(f"{prefix}{name}") == value:
                data[f"{prefix}{name}"] = ""
        read = self.read(line, on)
        given = field_values(read)
        for name in ("work", "other"):
            data[f"{prefix}{name}"] = ""
        if "time" in given:
            data.pop(f"{prefix}usual", None)
        if written := data.get(f"{prefix}note"):
            given["note"] = "\n".join(dict.fromkeys(filter(None, [written, given.get("note", "")])))
        for name, value in given.items():
            data[f"{prefix}{name}"] = value
        for name, day in (("worked_on", read.worked_on), ("since_on", read.since_on)):
            if day is not None:
                data[f"{shared}{name}"] = day.isoformat()
        data[f"{shared}line_read"] = line
        return read


def parse_day(text: str) -> date | None:
    """The day that a date field was sent with; None for none."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


def field_values(read: NotebookLine) -> dict[str, str]:
    """What a line gives for the fields of a line of the bench, as they would be typed."""
    given: dict[str, Any] = {
        "other": read.work,
        "batch": read.batch,
        "time": read.time,
        "unattended": read.unattended,
        "good": read.good,
        "reworked": read.reworked,
        "scrap": read.scrap,
        "scrap_reason": read.scrap_reason,
        "note": read.note,
    }
    return {name: str(value) for name, value in given.items() if value not in (None, "", 0)}


def in_words(read: NotebookLine, choices: WorkChoices) -> str:
    """How a line was read, as a sentence."""
    told = [choices.label_of(read.work) if read.work else _("nothing that is in the plan"), read.time]
    counts = (
        (read.good, ngettext("{n} good", "{n} good", read.good or 0)),
        (read.reworked, ngettext("{n} of them reworked", "{n} of them reworked", read.reworked or 0)),
        (read.scrap, ngettext("{n} scrap", "{n} scrap", read.scrap or 0)),
    )
    told += [words for count, words in counts if count]
    told += [read.scrap_reason]
    if read.worked_on is not None:
        told.insert(0, date_format(read.worked_on, "l j F"))
    if read.since_on is not None:
        told.append(_("since {day}", day=date_format(read.since_on)))
    if read.batch:
        told.append(str(choices.batches.get(pk=read.batch)))
    if read.unattended:
        told.append(_("{time} unattended", time=read.unattended))
    sentence = _("Read as: {what}.", what=", ".join(filter(None, told)))
    if read.note:
        return f"{sentence} {_('The rest stands in the note: {note}.', note=quote_input(read.note).rstrip('.'))}"
    return sentence
