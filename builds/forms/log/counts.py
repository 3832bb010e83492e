"""What was counted: good pieces, those of them that were reworked, scrap and why."""

from collections.abc import Iterable
from functools import partial
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy

from builds.forms.fields import DurationField
from builds.forms.log.asking import AskingForm
from builds.models import Builder, Part
from builds.models.choices import TimeIs
from builds.queries.log.usual_day import usual_day
from calcs.messages import _
from calcs.typed.reading import Reading

COUNTED = ("good", "reworked", "scrap")


class CountsForm(AskingForm):
    """builder: who types, and whose usual day a time such as "2 days" is asked about with."""

    good = forms.IntegerField(label=gettext_lazy("Good"), required=False, min_value=0, max_value=100_000)
    reworked = forms.IntegerField(
        label=gettext_lazy("of them reworked"), required=False, min_value=0, max_value=100_000
    )
    scrap = forms.IntegerField(label=gettext_lazy("Scrap"), required=False, min_value=0, max_value=100_000)
    done = forms.BooleanField(label=gettext_lazy("This work on an assembly is done"), required=False)
    scrap_reason = forms.CharField(label=gettext_lazy("Reason for scrap"), required=False, max_length=120)

    def __init__(self, *args: Any, builder: Builder | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for field in self.fields.values():
            if isinstance(field, DurationField) and builder is not None:
                field.usual_minutes = partial(usual_day, builder)
        self.fields["scrap_reason"].widget.attrs["list"] = "scrap-reasons"
        for name in COUNTED:
            self.fields[name].widget.attrs.update({"inputmode": "numeric", "min": 0})

    @property
    def counters(self) -> list[forms.BoundField]:
        return [self[name] for name in COUNTED]

    @property
    def counted(self) -> dict[str, Any]:
        """The counts as the log takes them."""
        data = self.cleaned_data
        return {name: data.get(name) or 0 for name in COUNTED} | {"scrap_reason": data.get("scrap_reason") or ""}

    def counted_on(self, part: Part | None) -> dict[str, Any]:
        """The counts on a part: work on an assembly is done or not, which the log keeps as one good piece.

        Raises ValidationError where something else is said to be done as a whole.
        """
        if not self.cleaned_data.get("done"):
            return self.counted
        if part is None or not part.is_work:
            raise ValidationError({"done": _("Only work on an assembly is done as a whole: count the pieces.")})
        return self.counted | {"good": max(1, self.counted["good"])}

    @property
    def settled(self) -> bool:
        """Whether the fate of any piece is told."""
        return any(self.cleaned_data.get(name) for name in ("good", "scrap", "done"))


def bench_time(reading: Reading, *, untimed: bool) -> tuple[int | None, str]:
    """Minutes and how sure they are. untimed: pieces are counted, and no time for them is in the log.

    An empty field then leaves a time that nobody gave: that is unknown, and not zero.
    """
    if not reading.text.strip() and not untimed:
        return 0, TimeIs.EXACT
    if reading.value is None:
        return None, TimeIs.UNKNOWN
    return round(reading.value), TimeIs.EXACT if reading.status == "ok" else TimeIs.ROUGH


def note_with_time(note: str, reading: Reading) -> str:
    """A note with the words that stood beside the time, unless it has them already (a form sent again does)."""
    return note if reading.note in note else "\n".join(filter(None, [reading.note, note]))


def reasons_used(reasons: Iterable[str]) -> list[str]:
    """Scrap reasons to offer: the build's own, then common ones."""
    common = (
        _("measured wrong"),
        _("moved in the vice"),
        _("drill wandered"),
        _("warped in the heat"),
        _("fault in the material"),
    )
    return list(dict.fromkeys([*reasons, *common]))
