"""Forms of a part that is planned once more, and of its route for another part."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from builds.models import Part


class CopyPartForm(forms.ModelForm):
    class Meta:
        model = Part
        fields = ["number", "name"]


class CopyRouteForm(forms.Form):
    to = forms.ModelChoiceField(
        label=gettext_lazy("Part that is to have this route"),
        queryset=Part.objects.none(),
        empty_label=gettext_lazy("choose …"),
    )

    def __init__(self, *args: Any, part: Part, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["to"].queryset = part.build.parts.exclude(pk=part.pk)  # type: ignore[attr-defined]
