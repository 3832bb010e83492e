"""The title block of a build."""

from typing import Any

from django import forms
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext_lazy

from builds.forms.fields import DateField, said_as_one_types
from builds.forms.folds import FoldedMixin
from builds.forms.two_people import SeenMixin
from builds.models import Build
from builds.models.build import every_activity
from builds.models.choices import Activity, Units
from calcs.shop.general_tolerances import read_general_tolerance
from calcs.units.registry import LengthUnit


class BuildForm(FoldedMixin, SeenMixin, forms.ModelForm):
    folds = {
        gettext_lazy("What it shows, and how closely"): ("subject", "general_tolerance"),
        gettext_lazy("When"): ("started_on", "wished_finish_on", "state", "finished_on"),
        gettext_lazy("Which hours count, and what it may cost"): (
            "activities_counted", "for_counter", "hourly_figure", "currency", "budget",
        ),
    }  # fmt: skip
    started_on = DateField(label=gettext_lazy("Started on"), required=False, initial=timezone.localdate)
    finished_on = DateField(
        label=gettext_lazy("Finished on"),
        required=False,
        help_text=gettext_lazy("Only for a finished build. Empty: the last day in its log."),
    )
    wished_finish_on = DateField(
        label=gettext_lazy("Wished finish"), required=False, help_text=gettext_lazy("A wish, not the forecast.")
    )
    activities_counted = forms.MultipleChoiceField(
        label=gettext_lazy("Shop time that counts in the headline hours"),
        choices=Activity.choices,
        required=False,
        initial=every_activity,
        widget=forms.CheckboxSelectMultiple,
        help_text=gettext_lazy("Builders differ in this, so each build says for itself."),
    )

    class Meta:
        model = Build
        fields = [
            "name", "subject", "scale", "units", "general_tolerance", "started_on", "wished_finish_on", "state",
            "finished_on", "activities_counted", "for_counter", "hourly_figure", "currency", "budget",
        ]  # fmt: skip
        help_texts = {
            "for_counter": gettext_lazy(
                "A thing that is made again and again and sold: hours, material and price of one are shown."
            ),
            "hourly_figure": gettext_lazy(
                "What an hour at the bench costs. Only for the price; empty: none is worked out."
            ),
            "budget": gettext_lazy("Empty: none is set. Hours are no part of it."),
            "currency": gettext_lazy("Such as £ or EUR."),
            "subject": gettext_lazy("What the model shows, such as “launch engine of about 1905”."),
            "scale": gettext_lazy("As you say it: 1:6, 1/4, 1½ in to the foot."),
            "units": gettext_lazy("What a figure without a unit means on these drawings."),
            "general_tolerance": gettext_lazy(
                "What sizes without limits of their own keep: ISO 2768-m, or so much either way, such as ±0.1 mm."
            ),
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        attributes = said_as_one_types(reverse("builds:read_tolerance"))
        self.fields["general_tolerance"].widget.attrs |= attributes | {"hx-include": "[name=units]"}

    def clean(self) -> Any:
        data = super().clean()
        unit: LengthUnit = "in" if self.cleaned_data.get("units") == Units.INCH else "mm"
        tolerance = read_general_tolerance(self.cleaned_data.get("general_tolerance"), unit)
        if tolerance.status == "refused":
            self.add_error("general_tolerance", tolerance.message)
        return data
