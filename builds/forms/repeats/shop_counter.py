"""How many of a thing are made at once, as it is asked on the counter's page."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from builds.queries.repeats.shop_counter import USUAL_BATCH


class TogetherForm(forms.Form):
    batch = forms.IntegerField(
        label=gettext_lazy("Made at once"),
        required=False,
        min_value=1,
        max_value=100_000,
        widget=forms.NumberInput(attrs={"inputmode": "numeric"}),
        error_messages={
            "min_value": gettext_lazy("At least one is made at once."),
            "max_value": gettext_lazy("That many at once is no batch for one person."),
            "invalid": gettext_lazy("Give a whole number of things."),
        },
    )

    def __init__(self, data: Any = None, *, usual: int = USUAL_BATCH) -> None:
        super().__init__({"batch": usual, **{name: data[name] for name in data}} if data is not None else None)
