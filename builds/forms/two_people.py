"""Two people on one record: a form says what it showed, and one that is late shows both versions, field by field."""

import hashlib
from collections.abc import Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, Self

from django import forms
from django.core.exceptions import NON_FIELD_ERRORS, ObjectDoesNotExist, ValidationError
from django.db import models

from builds.forms.fields import as_sent
from builds.models.history import Versioned
from builds.services.changes import Stale
from calcs.messages import _
from calcs.typed.reading import Reading

MINE, THEIRS = "mine", "theirs"
# So many earlier versions are looked through for the one that the form showed.
LOOKED_THROUGH = 30


@dataclass(frozen=True)
class Difference:
    """One field in which the two versions differ, in words; `take` is what is chosen at first."""

    name: str
    label: str
    mine: str
    theirs: str
    take: str


class SeenMixin(forms.Form):
    """Carries what of its record the form showed: the record's version, or a digest of each field where it has none.

    Late, it holds both versions in `conflict`. Sent again, each field is taken from whom the choice beside it says.
    """

    seen = forms.CharField(required=False, widget=forms.HiddenInput, max_length=2000)
    conflict: tuple[Difference, ...] = ()

    def __init__(self, data: Any = None, *args: Any, **kwargs: Any) -> None:
        self._made_with = {name: value for name, value in kwargs.items() if name != "initial"}
        self._record: models.Model | None = kwargs.get("instance") or kwargs.pop("entry", None)
        known = self._record is not None and self._record.pk is not None
        if data and known and any(data.get(f"take-{name}") == THEIRS for name in self.base_fields):
            data = self._with_theirs(data)
        super().__init__(data, *args, **kwargs)
        if known:
            self.initial["seen"] = self._shows()

    def _showing(self, record: models.Model) -> Self:
        """The same form, with nothing typed, of the record at another time."""
        holder = "instance" if "instance" in self._made_with else "entry"
        return type(self)(**{**self._made_with, **self._also_made_with(), holder: record})

    def _also_made_with(self) -> dict[str, Any]:
        """What else a form of this class is made with."""
        return {}

    def _now(self) -> Self | None:
        """The form of the record as it stands; None where it is gone."""
        if self._record is None or self._record.pk is None:
            return None
        record = type(self._record)._default_manager.filter(pk=self._record.pk).first()
        return None if record is None else self._showing(record)

    def _shows(self) -> str:
        """What tells this version of the record from any other."""
        if isinstance(self._record, Versioned):
            return str(self._record.version)
        names = [name for name in self.fields if name != "seen"]
        return " ".join(f"{name}:{_digest(as_sent(self[name], self.initial.get(name)))}" for name in names)

    def _with_theirs(self, data: Any) -> Any:
        """What was sent, with the record's own values where those were chosen."""
        now = self._now()
        if now is None:
            return data
        data = data.copy()
        for name in now.fields:
            if data.get(f"take-{name}") == THEIRS:
                data.setlist(name, as_sent(now[name], now[name].value()))
        return data

    def clean_seen(self) -> Any:
        """The version for the service; what has none is compared here."""
        said: str = self.cleaned_data["seen"]
        if not said or self._record is None:
            return None
        if isinstance(self._record, Versioned):
            if not said.isdecimal() or len(said) > 9:
                raise ValidationError(_("Which version this form showed is not known. Open the page afresh."))
            return int(said)
        self._late = (now := self._now()) is None or now._shows() != said
        return said

    def clean(self) -> Any:
        data = super().clean()
        if getattr(self, "_late", False):
            self.meet()
        return data

    def meet(self) -> None:
        """Show both versions, and go by the present one from here on."""
        now = self._now()
        if now is None:
            self.add_error(None, _("Somebody else has removed this meanwhile."))
            return
        for name in self.cleaned_data.keys() & now.fields.keys():
            if _is_secret(now.fields[name]) and self.cleaned_data[name]:
                self.add_error(name, _("Type it once more: a password does not come back with its page."))
        self.conflict = tuple(self._differences(now, self.data.get("seen", "")))
        self.data = self.data.copy()
        self.data["seen"] = now._shows()
        self.add_error(
            None,
            _(
                "Somebody else changed this after you opened it. Both versions stand below: "
                "choose for each field, and send it."
            )
            if self.conflict
            else _("Somebody else made the same change meanwhile. Nothing is left to choose: send it, or leave it."),
        )

    def _shown_at(self, seen: str) -> Self | None:
        """The form as it was shown, where the record's history knows that version."""
        history: Any = getattr(self._record, "history", None)
        for row in history.order_by("-history_id")[:LOOKED_THROUGH] if history is not None else ():
            try:
                form = self._showing(row.instance)
                if form._shows() == seen:
                    return form
            except ObjectDoesNotExist:
                continue
        return None

    def _differences(self, now: Self, seen: str) -> Iterator[Difference]:
        shown, digests = self._shown_at(seen), seen.split(" ")
        for name, field in now.fields.items():
            if name == "find" or now[name].is_hidden or _is_secret(field) or name not in self.cleaned_data:
                continue
            mine, theirs = self.cleaned_data[name], _cleaned(now, name)
            if _plain(mine) == _plain(theirs):
                continue
            as_shown = f"{name}:{_digest(as_sent(self[name], self[name].value()))}" in digests
            untouched = as_shown or (shown is not None and _plain(mine) == _plain(_cleaned(shown, name)))
            take = THEIRS if untouched else MINE
            label = str(field.label or name)
            yield Difference(name, label, _words(self[name]), _words(now[name]), take)


def typed_in(form: type[forms.BaseForm], data: Any) -> list[tuple[str, str]]:
    """What was typed into a form of this class whose record is gone: the label of each field that says anything."""
    typed = forms.Form(data)
    typed.fields = deepcopy(form.base_fields)
    shown = [typed[name] for name, field in typed.fields.items() if data.get(name) and not _is_secret(field)]
    return [(str(one.label), _words(one)) for one in shown if one.name != "seen"]


def _is_secret(field: forms.Field) -> bool:
    return isinstance(field.widget, forms.PasswordInput)


def _digest(raw: list[str]) -> str:
    return hashlib.sha256(repr(raw).encode()).hexdigest()[:12]


def _cleaned(form: SeenMixin, name: str) -> Any:
    """What the value that a form shows is read as."""
    field, raw = form.fields[name], as_sent(form[name], form[name].value())
    several = isinstance(field, forms.MultipleChoiceField | forms.ModelMultipleChoiceField)
    try:
        return field.clean(raw if several else bool(raw) if isinstance(field, forms.BooleanField) else "".join(raw))
    except ValidationError:
        return raw


def _plain(value: Any) -> Any:
    """A value that can be compared with another of its field."""
    if isinstance(value, Reading):
        return None if value.value is None else float(value.value)
    if isinstance(value, models.QuerySet):
        return sorted(one.pk for one in value)
    return None if value == "" else value


def _words(bound: forms.BoundField) -> str:
    """What a field holds, in words."""
    values = as_sent(bound, bound.value())
    if isinstance(bound.field, forms.BooleanField):
        return _("yes") if values else _("no")
    choices: Mapping[str, str] = dict(_flat(getattr(bound.field, "choices", ())))
    return ", ".join(choices.get(value, value) for value in values if value) or _("nothing")


def _flat(choices: Any) -> Iterator[tuple[str, str]]:
    for value, label in choices:
        if isinstance(label, list | tuple):
            yield from _flat(label)
        else:
            yield str(value), str(label)


def refuse(form: forms.BaseForm, error: ValidationError) -> None:
    """Put a service's refusal beside the fields it names; what names no field of this form goes to its top.

    A record that somebody else changed meanwhile is shown in both versions.
    """
    if isinstance(error, Stale) and isinstance(form, SeenMixin):
        form.meet()
        return
    if not hasattr(error, "error_dict"):
        form.add_error(None, error)
        return
    for name, errors in error.error_dict.items():
        field = name if name in form.fields and name != NON_FIELD_ERRORS else None
        for one in errors:
            form.add_error(field, one)
