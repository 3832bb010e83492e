"""A table that is to be taken in: where it comes from, and how its columns are to be read."""

import base64
import binascii
import zlib
from collections.abc import Mapping, Sequence
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from builds.models import Builder
from calcs.messages import _

MOST_MEGABYTES = 5
"""What is looked at travels with its page until it is confirmed, so that nobody has to choose the file again."""
MOST_HEADINGS = 60
"""Headings that are offered one by one."""
ASIDE, SPREAD = "", "parts"


class SourceForm(forms.Form):
    """A file, or a table that was copied."""

    file = forms.FileField(label=gettext_lazy("A file: CSV or XLSX, at most 5 MB"), required=False)
    pasted = forms.CharField(
        label=gettext_lazy("Or the table, pasted"),
        required=False,
        strip=False,
        max_length=MOST_MEGABYTES * 2**20 // 4,
        widget=forms.Textarea(attrs={"rows": 8, "spellcheck": "false"}),
    )

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = self.cleaned_data
        file = data.get("file")
        if file is not None and file.size > MOST_MEGABYTES * 2**20:
            words = _("This file is larger than {number} MB. The command import_log takes it.", number=MOST_MEGABYTES)
            raise ValidationError({"file": words})
        if file is None and not (data.get("pasted") or "").strip() and not self.errors:
            raise ValidationError(_("Choose a file, or paste a table."))
        return data

    def content(self) -> tuple[bytes, str]:
        """The bytes of the table, and what it is called."""
        file = self.cleaned_data["file"]
        if file is not None:
            return file.read(), file.name
        return self.cleaned_data["pasted"].encode(errors="replace"), _("the pasted table")


def packed(content: bytes) -> str:
    """A file as it travels in a form."""
    return base64.b64encode(zlib.compress(content)).decode()


def unpacked(text: str) -> bytes:
    """What `packed` was given. Raises ValidationError where it was not that, or is larger than a file may be."""
    most = MOST_MEGABYTES * 2**20
    try:
        content = zlib.decompressobj().decompress(base64.b64decode(text, validate=True), most + 1)
    except (binascii.Error, ValueError, zlib.error) as error:
        raise ValidationError(_("The table did not come through whole. Choose it again.")) from error
    if len(content) > most:
        raise ValidationError(_("This table is larger than {number} MB.", number=most // 2**20))
    return content


class ReadAsForm(forms.Form):
    """How a table is read, with a choice for each of its headings. `kept` is the table itself."""

    kept = forms.CharField(widget=forms.HiddenInput, strip=False)
    name = forms.CharField(widget=forms.HiddenInput, max_length=255)
    # What the page showed: only that is taken in.
    shown = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)
    # The headings that the choices below are of.
    head = forms.CharField(widget=forms.HiddenInput, required=False, max_length=64)
    sheet = forms.ChoiceField(label=gettext_lazy("Tab"), required=False)

    def __init__(self, *args: Any, sheets: Sequence[str] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["sheet"].choices = [("", _("the first that holds anything")), *((one, one) for one in sheets)]
        if len(sheets) < 2:
            del self.fields["sheet"]

    def offer(
        self, heads: Sequence[str], places: Mapping[str, int], spread: Sequence[int], columns: Mapping[str, Any]
    ) -> None:
        """Have a choice for each heading. places: where our columns stand; spread: headings that are parts."""
        known = [(name, words[0]) for name, words in columns.items()]
        at = {place: name for name, place in places.items()}
        for place, heading in [one for one in enumerate(heads) if one[1]][:MOST_HEADINGS]:
            parts = [(SPREAD, _("a part, with hours below it"))] if place in spread else []
            self.fields[f"column-{place}"] = forms.ChoiceField(
                label=heading[:60], required=False, choices=[(ASIDE, _("left aside")), *parts, *known]
            )
            self.initial[f"column-{place}"] = SPREAD if place in spread else at.get(place, ASIDE)
            self.show(**{f"column-{place}": self.initial[f"column-{place}"]})

    def show(self, **values: str) -> None:
        """Have the page show these, whatever was sent."""
        self.data = {**self.data, **values}

    def chosen(self) -> dict[int, str]:
        """What was chosen for each heading, by its place."""
        sent = ((key.removeprefix("column-"), value) for key, value in self.data.items() if key.startswith("column-"))
        return {int(place): value for place, value in sent if place.isdecimal() and len(place) < 6}

    @property
    def headings(self) -> list[forms.BoundField]:
        return [self[name] for name in self.fields if name.startswith("column-")]

    @property
    def questions_asked(self) -> list[forms.BoundField]:
        plain = (name for name, field in self.fields.items() if not name.startswith("column-"))
        return [self[name] for name in plain if not self[name].is_hidden]


class PartsReadAsForm(ReadAsForm):
    """How a parts list is read."""

    first_row = forms.ChoiceField(
        label=gettext_lazy("The first row"),
        required=False,
        choices=[("headings", gettext_lazy("holds the headings")), ("part", gettext_lazy("is a part already"))],
    )


class LogReadAsForm(ReadAsForm):
    """How a log is read."""

    dates = forms.ChoiceField(
        label=gettext_lazy("In dates like 03/04/2026 comes first"),
        required=False,
        choices=[
            ("", gettext_lazy("what the other dates tell")),
            ("day", gettext_lazy("the day")),
            ("month", gettext_lazy("the month")),
        ],
    )
    times = forms.ChoiceField(
        label=gettext_lazy("The times are"),
        required=False,
        choices=[
            ("", gettext_lazy("what the headings tell")),
            ("each", gettext_lazy("of each row")),
            ("since", gettext_lazy("all since the row before")),
            ("meter", gettext_lazy("a running total")),
            ("month", gettext_lazy("of whole months")),
        ],
    )
    first_reading = forms.ChoiceField(
        label=gettext_lazy("The first reading of a running total"),
        required=False,
        choices=[
            ("sets", gettext_lazy("only sets it")),
            ("counts", gettext_lazy("counts from nothing")),
        ],
    )
    backwards = forms.ChoiceField(
        label=gettext_lazy("A running total that goes backwards"),
        required=False,
        choices=[
            ("", gettext_lazy("is refused")),
            ("left out", gettext_lazy("is left out")),
            ("anew", gettext_lazy("begins anew")),
        ],
    )
    builder = forms.ModelChoiceField(
        label=gettext_lazy("Whose hours, where a row does not say"),
        required=False,
        queryset=Builder.objects.all(),
        empty_label=gettext_lazy("nobody in particular"),
    )
