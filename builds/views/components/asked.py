"""What is asked: buttons, fields in every state, forms with folds, steppers."""

from collections.abc import Mapping
from typing import Any, ClassVar

from django import forms
from django.utils.functional import Promise
from django.utils.translation import gettext_lazy

from builds.forms.folds import FoldedMixin
from builds.forms.two_people import Difference
from builds.views.components.shown import Group, Sample, Shown

KINDS = (("turning", "turning"), ("milling", "milling"), ("fitting", "fitting"))


class EveryField(FoldedMixin):
    """Every kind of field that the forms have."""

    name = forms.CharField(help_text="As it stands on the drawing.", initial="Cover nut")
    time = forms.CharField(label="Bench time", initial="2½ h")
    pieces = forms.IntegerField(min_value=0, initial=3)
    day = forms.DateField(widget=forms.DateInput(attrs={"type": "date"}), initial="2026-11-28")
    kind = forms.ChoiceField(choices=KINDS)
    shut = forms.CharField(label="Not to be changed", initial="batch 3", disabled=True)
    note = forms.CharField(widget=forms.Textarea, required=False, initial="Packed up 0.2 on one side.")
    one_of = forms.ChoiceField(label="One of them", choices=KINDS, widget=forms.RadioSelect, initial="milling")
    some_of = forms.MultipleChoiceField(
        label="Some of them", choices=KINDS, widget=forms.CheckboxSelectMultiple, initial=["turning"]
    )
    spare = forms.BooleanField(label="This is a spare", help_text="It counts apart.", initial=True)
    scan = forms.FileField(label="A scan", required=False)
    folds: ClassVar[dict[Promise, tuple[str, ...]]] = {gettext_lazy("More about it"): ("scan",)}

    def clean_time(self) -> str:
        raise forms.ValidationError("“two and a bit” is no time.")


class Unasked(forms.Form):
    """A form without folds, for its button alone."""

    words = forms.CharField(label="A remark", required=False)


class Looked(forms.Form):
    text = forms.CharField(label="Look it up", required=False)
    other = forms.ChoiceField(label="Other work", choices=KINDS, required=False)


def _fields(form: forms.Form) -> dict[str, Mapping[str, Any]]:
    readings = {"time": "2 h 30 min"}
    return {field.name: {"field": field, "reading": readings.get(field.name)} for field in form}


def _states() -> tuple[Shown, ...]:
    sent = {"shown-refused-name": "", "shown-refused-time": "two and a bit", "shown-refused-pieces": "-1"}
    whole, refused = EveryField(prefix="shown"), EveryField(sent, prefix="shown-refused")
    plain = tuple(Shown("components/field.html", name, given) for name, given in _fields(whole).items())
    no = tuple(
        Shown("components/field.html", f"{name}, refused", given)
        for name, given in _fields(refused).items()
        if name not in ("shut", "scan", "note")
    )
    chips = EveryField(prefix="chips")
    return (*plain, *no, Shown("components/field.html", "choices as chips", {"field": chips["one_of"], "chips": True}))


def groups() -> tuple[Group, ...]:
    """Made anew for every reader: a form keeps what it has been asked."""
    stepped, looked = EveryField(prefix="stepped"), Looked(prefix="looked")
    both = Sample(
        hidden_fields=[],
        folds={},
        visible_fields=[],
        conflict=[Difference("shown", "Material", "bronze", "gunmetal", "mine")],
    )
    return (
        Group(
            "Buttons",
            (
                Shown("developers/buttons.html", "each kind; disabled; waiting for an answer; chips"),
                Shown("components/smallbutton.html", "a link as a button", {"to": "#", "word": "Route card"}),
            ),
        ),
        Group("Fields", _states(), beside=True),
        Group(
            "Forms",
            (
                Shown(
                    "components/postform.html", "with a fold", {"form": EveryField(prefix="folded"), "doing": "Keep it"}
                ),
                Shown(
                    "components/postform.html",
                    "its button large",
                    {"form": Unasked(prefix="big"), "doing": "Log it", "big": True},
                ),
                Shown("components/form.html", "two versions of a record", {"form": both}),
                Shown(
                    "developers/stepper.html",
                    "a number",
                    {"field": stepped["pieces"], "less": "One less", "more": "One more"},
                ),
                Shown(
                    "components/find.html",
                    "looking work up",
                    {"field": looked["text"], "form": looked, "to": "#", "whole": True},
                ),
                Shown("components/field.html", "what it fills", {"field": looked["other"]}),
                Shown(
                    "components/scrap_reasons.html", "offered to a field, and unseen", {"reasons": ["bore too large"]}
                ),
                Shown("developers/progress.html", "work that takes a while, once it is seen"),
            ),
        ),
    )
