"""What visitors are told of a build."""

from typing import Any

from django import forms
from django.conf import settings
from django.utils import timezone
from django.utils.translation import gettext_lazy

from builds.forms.fields import LengthAsTypedField
from builds.forms.folds import FoldedMixin
from builds.forms.two_people import SeenMixin
from builds.models import Exhibit
from builds.queries.visitors.exhibit import bench_words_of

AS_TYPED = gettext_lazy("Such as 8.4 m or 27 ft 6 in.")
BY_THE_SCALE = gettext_lazy("Empty: worked out from the real one by the scale.")


class ExhibitForm(FoldedMixin, SeenMixin, forms.ModelForm):
    """The exhibit, with what the build itself says of its board: one page, kept as one event."""

    folds = {
        gettext_lazy("How large it is"): ("real_length", "real_height", "model_length", "model_height"),
        gettext_lazy("What it did, and how it works"): ("what_it_did", "how_it_works"),
        gettext_lazy("What visitors are told"): (
            "hours_shown", "date_on_board", "scrap_shown", "names_shown", "photos_shown",
        ),
        gettext_lazy("In which language, and how fast"): ("language", "seconds_a_panel"),
    }  # fmt: skip
    field_order = ("on_board", "bench_words", "for_visitors")

    on_board = forms.BooleanField(
        label=gettext_lazy("Shown on the progress board"),
        required=False,
        help_text=gettext_lazy("Anybody with the address can then see the board."),
    )
    for_visitors = forms.CharField(
        label=gettext_lazy("In one or two plain sentences"),
        required=False,
        max_length=600,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    real_length = LengthAsTypedField(label=gettext_lazy("Length of the real one"), required=False, help_text=AS_TYPED)
    real_height = LengthAsTypedField(label=gettext_lazy("Height of the real one"), required=False, help_text=AS_TYPED)
    model_length = LengthAsTypedField(label=gettext_lazy("Length of the model"), required=False, help_text=BY_THE_SCALE)
    model_height = LengthAsTypedField(label=gettext_lazy("Height of the model"), required=False, help_text=BY_THE_SCALE)
    date_on_board = forms.BooleanField(label=gettext_lazy("When it may run"), required=False, initial=True)
    language = forms.ChoiceField(
        label=gettext_lazy("Language for visitors"),
        required=False,
        choices=[("", gettext_lazy("that of the reader")), *settings.LANGUAGES],
    )

    class Meta:
        model = Exhibit
        fields = [
            "real_length", "real_height", "model_length", "model_height", "what_it_did", "how_it_works", "bench_words",
            "names_shown", "photos_shown", "hours_shown", "scrap_shown", "language", "seconds_a_panel",
        ]  # fmt: skip
        help_texts = {
            "what_it_did": gettext_lazy("One sentence: where it worked, and what it drove."),
            "how_it_works": gettext_lazy("About ten plain sentences for the talk sheet, each on a line of its own."),
            "bench_words": gettext_lazy("For today only. Empty: the name of the part that was worked on last."),
        }
        labels = {"seconds_a_panel": gettext_lazy("Seconds a panel of the board stands")}
        widgets = {
            "what_it_did": forms.Textarea(attrs={"rows": 2}),
            "how_it_works": forms.Textarea(attrs={"rows": 10}),
        }

    def __init__(self, *args: Any, instance: Exhibit, **kwargs: Any) -> None:
        build = instance.build
        initial = {name: getattr(build, name) for name in ("on_board", "for_visitors", "date_on_board")}
        initial["bench_words"] = bench_words_of(instance, timezone.localdate())
        super().__init__(*args, instance=instance, **{**kwargs, "initial": initial})
        for name in ("real_length", "real_height", "model_length", "model_height"):
            self.fields[name].unit = build.length_unit

    def clean(self) -> Any:
        data = super().clean()
        words = self.cleaned_data.get("bench_words")
        self.instance.bench_words_on = timezone.localdate() if words else None
        return data

    def of_build(self) -> dict[str, Any]:
        """What the build says itself."""
        return {name: self.cleaned_data[name] for name in ("on_board", "for_visitors", "date_on_board")}
