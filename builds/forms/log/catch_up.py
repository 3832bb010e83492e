"""Many evenings from a notebook on one page: a date and a line each, read into the fields of an entry."""

from datetime import date, timedelta
from typing import Any

from django import forms
from django.forms import formset_factory
from django.http import QueryDict
from django.utils.translation import gettext_lazy

from builds.forms.log.bench import EveningForm, EveningFormSet, LogLineForm
from builds.forms.log.notebook import LONGEST_LINE, Notebook, parse_day
from builds.models.entry import new_token

PREFIX = "form"
# Lines that a page begins with and that are added at once, and the most of one page.
LINES_AT_ONCE = 7
MOST_LINES = 62
_NOT_HERE = ("work", "usual", "find", "batch", "new_part", "new_operation", "done", "builder")


class CatchUpLine(LogLineForm, EveningForm):
    """A day, the line as it was written, and what it was read as. One without a line counts for nothing."""

    line = forms.CharField(label=gettext_lazy("What was done"), required=False, max_length=LONGEST_LINE)
    line_read = forms.CharField(required=False, max_length=LONGEST_LINE, widget=forms.HiddenInput)

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in _NOT_HERE:
            del self.fields[name]
        self.fields["other"].label = gettext_lazy("Work")
        self.fields["time"].label = gettext_lazy("Time at the bench")
        self.fields["time"].widget.attrs["hx-get"] = "/read/time/"
        self.fields["worked_on"].required = bool(self._given("line").strip())

    @property
    def is_read(self) -> bool:
        return bool(self._given("line").strip()) and self._given("line").strip() == self._given("line_read").strip()

    @property
    def untouched(self) -> bool:
        return not self.cleaned_data.get("line")


CatchUpLines = formset_factory(
    CatchUpLine, formset=EveningFormSet, extra=0, min_num=1, max_num=MOST_LINES, absolute_max=MOST_LINES
)


def fresh_sheet(first: date, today: date) -> QueryDict:
    """A page of empty lines: the days go on from the first, up to today."""
    data = QueryDict(mutable=True)
    data[f"{PREFIX}-INITIAL_FORMS"] = "0"
    _add_lines(data, 0, first, today)
    return data


def _add_lines(data: QueryDict, count: int, first: date, today: date) -> None:
    more = min(LINES_AT_ONCE, MOST_LINES - count)
    for place in range(more):
        data[f"{PREFIX}-{count + place}-worked_on"] = min(first + timedelta(days=place), today).isoformat()
        data[f"{PREFIX}-{count + place}-token"] = new_token()
    data[f"{PREFIX}-TOTAL_FORMS"] = str(count + more)


def count_lines(data: QueryDict) -> int:
    said = data.get(f"{PREFIX}-TOTAL_FORMS", "")
    return min(int(said), MOST_LINES) if said.isdecimal() and len(said) < 4 else 0


def go_on(data: QueryDict, today: date, *, more: bool) -> None:
    """Give the empty lines the days that follow the last one that was written; `more` adds a week of them."""
    count = count_lines(data)
    written = [place for place in range(count) if data.get(f"{PREFIX}-{place}-line", "").strip()]
    day = parse_day(data.get(f"{PREFIX}-{written[-1]}-worked_on", "")) if written else None
    if day is not None:
        for place in range(written[-1] + 1, count):
            day = min(day + timedelta(days=1), today) if day < today else today
            data[f"{PREFIX}-{place}-worked_on"] = day.isoformat()
    if more:
        last = parse_day(data.get(f"{PREFIX}-{count - 1}-worked_on", "")) or today
        _add_lines(data, count, min(last + timedelta(days=1), today) if last < today else today, today)


def read_lines(data: QueryDict, notebook: Notebook) -> int:
    """Put every line that was not read yet into the fields beside it; how many there were."""
    unread = 0
    for place in range(count_lines(data)):
        prefix = f"{PREFIX}-{place}-"
        line, before = (data.get(f"{prefix}{name}", "").strip() for name in ("line", "line_read"))
        if line and line != before:
            notebook.into_fields(data, line[:LONGEST_LINE], before, prefix, shared=prefix)
            unread += 1
    return unread
