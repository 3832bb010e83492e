"""The filters above the log book."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from builds.forms.fields import DateField
from builds.models import Build, Builder
from builds.models.choices import Activity
from builds.queries.log.logbook import LogFilter


class LogFilterForm(forms.Form):
    builder = forms.ModelChoiceField(
        label=gettext_lazy("Who"), queryset=Builder.objects.none(), required=False, empty_label=gettext_lazy("anybody")
    )
    part = forms.ModelChoiceField(
        label=gettext_lazy("Part"), queryset=None, required=False, empty_label=gettext_lazy("any part")
    )
    activity = forms.ChoiceField(
        label=gettext_lazy("Shop time"),
        required=False,
        choices=[("", gettext_lazy("parts and shop time")), ("any", gettext_lazy("shop time only")), *Activity.choices],
    )
    since = DateField(label=gettext_lazy("From"), required=False)
    until = DateField(label=gettext_lazy("To"), required=False)
    words = forms.CharField(label=gettext_lazy("Words in the note"), required=False, max_length=100)
    removed = forms.BooleanField(label=gettext_lazy("Removed entries"), required=False)

    def __init__(self, *args: Any, build: Build, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["builder"].queryset = Builder.objects.filter(entries__build=build).distinct()
        self.fields["part"].queryset = build.parts.all()

    @property
    def asks_more(self) -> bool:
        """Whether something is asked that stands in the fold."""
        return any(self[name].value() or self[name].errors for name in self.fields if name not in ("words", "part"))

    def asked(self) -> LogFilter:
        """The filter; a field that was refused asks for nothing."""
        if not self.is_bound:
            return LogFilter()
        self.full_clean()
        return LogFilter(**{name: value for name, value in self.cleaned_data.items() if value})
