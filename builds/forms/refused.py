"""What was refused of the forms on a page, or is asked about, gathered from all of them for its top."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from django.forms import BaseForm, BaseFormSet, BoundField

from builds.forms.repeats.batch import Grid, StepForm
from calcs.messages import _


@dataclass(frozen=True)
class Refusal:
    """One sentence, the field it is about (empty: the form as a whole), and the id that leads there."""

    label: str
    words: str
    leads_to: str = ""


def refusals_of(values: Iterable[Any]) -> list[Refusal]:
    """Everything that is refused or asked in whichever of these are forms, in the order of the page."""
    return [refusal for name, form in _forms_in(values) for refusal in _of_form(form, name)]


def _forms_in(values: Iterable[Any]) -> Iterator[tuple[str, BaseForm]]:
    """Each form once, with what tells it from its neighbours."""
    seen: set[int] = set()
    for value in values:
        for name, form in _named(value):
            if form.is_bound and id(form) not in seen:
                seen.add(id(form))
                yield name, form


def _named(value: Any) -> list[tuple[str, BaseForm]]:
    if isinstance(value, BaseForm):
        return [("", value)]
    if isinstance(value, BaseFormSet):
        several = len(value.forms) > 1
        return [(_("Line {n}", n=n) if several else "", form) for n, form in enumerate(value.forms, start=1)]
    if isinstance(value, Grid):
        return [("", value.day), *((str(form.step.operation), form) for form in value.steps)]
    return []


def _of_form(form: BaseForm, name: str) -> list[Refusal]:
    found = [Refusal(name, error, _first_id(form) if name else "") for error in form.non_field_errors()]
    for field in form:
        label = "" if field.is_hidden else str(field.label)
        found += [Refusal(_joined(name, label), error, _id_of(field)) for error in field.errors]
    odd = getattr(form, "questions", ())
    return found + [Refusal(name, f"{one.words} {one.hint}".strip(), _first_id(form)) for one in odd]


def _joined(name: str, label: str) -> str:
    return _("{line}, {field}", line=name, field=label) if name and label else name or label


def _first_id(form: BaseForm) -> str:
    # The grid shows a step's counts first, whatever the order of its form.
    names = ("good",) if isinstance(form, StepForm) else ("time", "worked", *form.fields)
    return next((_id_of(form[name]) for name in names if name in form.fields and not form[name].is_hidden), "")


def _id_of(field: BoundField) -> str:
    """The id of what is typed in; of several choices, the first one's."""
    if field.is_hidden:
        return ""
    return str(field.subwidgets[0].id_for_label if field.use_fieldset and field.subwidgets else field.auto_id)
