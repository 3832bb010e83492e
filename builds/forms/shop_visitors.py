"""What the shop as a whole shows visitors."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from builds.forms.two_people import SeenMixin
from builds.models import Shop
from builds.queries.visitors.headings import PANELS
from calcs.messages import _

LONGEST_HEADING = 80


class ShopVisitorsForm(SeenMixin, forms.ModelForm):
    """A tick for the arithmetic, and a heading for each panel of the board."""

    class Meta:
        model = Shop
        fields = ["arithmetic_for_visitors"]
        help_texts = {
            "arithmetic_for_visitors": gettext_lazy("For a tablet beside the bench. Nothing of a build stands there.")
        }

    def __init__(self, *args: Any, instance: Shop, **kwargs: Any) -> None:
        initial = {f"heading-{key}": instance.headings.get(key, "") for key in PANELS}
        super().__init__(*args, instance=instance, **{**kwargs, "initial": initial})
        for key, words in PANELS.items():
            self.fields[f"heading-{key}"] = forms.CharField(
                label=_("In the place of “{heading}”", heading=words), required=False, max_length=LONGEST_HEADING
            )

    def clean(self) -> Any:
        data = super().clean()
        given = {key: self.cleaned_data.get(f"heading-{key}", "") for key in PANELS}
        self.instance.headings = {key: words for key, words in given.items() if words}
        return data
