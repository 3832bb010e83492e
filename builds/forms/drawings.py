"""Forms of a sheet's scans, and of a remark at a place on one."""

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy

from builds.forms.fields import DateField
from builds.forms.plan import OfBuild
from builds.models import Drawing, Remark
from builds.services.plan.page_pictures import MOST_PAGES
from calcs.messages import _

ACCEPTED = "application/pdf,image/png,image/jpeg,image/tiff"


class ScanForm(forms.Form):
    file = forms.FileField(
        label=gettext_lazy("File"),
        widget=forms.FileInput(attrs={"accept": ACCEPTED}),
        help_text=gettext_lazy("PDF, PNG, JPEG or TIFF, up to 60 MB and 60 pages."),
    )
    revision = forms.CharField(label=gettext_lazy("Revision"), required=False, max_length=20)
    in_book = forms.BooleanField(label=gettext_lazy("May stand in the build book"), required=False)


class DrawingForm(OfBuild):
    class Meta:
        model = Drawing
        fields = ["revision", "in_book"]


class PinForm(OfBuild):
    """A remark, with its place in per cent of the page's width and height; both empty is no place in particular."""

    noted_on = DateField(label=gettext_lazy("Noted on"), required=False)
    page = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=MOST_PAGES)
    across_percent = forms.FloatField(
        label=gettext_lazy("From the left, %"), required=False, min_value=0, max_value=100,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "data-across": ""}),
    )  # fmt: skip
    down_percent = forms.FloatField(
        label=gettext_lazy("From the top, %"), required=False, min_value=0, max_value=100,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off", "data-down": ""}),
    )  # fmt: skip

    class Meta:
        model = Remark
        fields = ["drawing_says", "we_made", "noted_on", "page"]

    @property
    def words(self) -> list[forms.BoundField]:
        return [self[name] for name in ("drawing_says", "we_made", "noted_on")]

    @property
    def place(self) -> list[forms.BoundField]:
        return [self[name] for name in ("across_percent", "down_percent")]

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or self.cleaned_data
        place = {name: data.get(f"{name}_percent") for name in ("across", "down")}
        missing = [name for name, share in place.items() if share is None and f"{name}_percent" not in self.errors]
        if len(missing) == 1:
            self.add_error(
                f"{missing[0]}_percent", _("A place wants both figures; for none in particular, leave both.")
            )
        elif len(missing) == 2:
            data["page"] = None
        for name, share in place.items():
            setattr(self.instance, name, None if share is None else share / 100)
        return data
