"""Long forms that ask a few fields first, and hold the others in folds until they are wanted."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import ClassVar

from django import forms
from django.forms import BoundField
from django.utils.functional import Promise

from builds.forms.fields import as_sent


@dataclass(frozen=True)
class Fold:
    """Fields that stand together behind one line; open where one of them says something or is refused."""

    words: Promise
    fields: list[BoundField]
    open: bool


class FoldedMixin(forms.Form):
    """A form most of whose fields may wait. What is in no fold is asked first.

    Its page says `novalidate`: a browser cannot point at what lies in a closed fold, and would send nothing and say
    nothing. The server refuses it, and opens the fold.
    """

    folds: ClassVar[dict[Promise, tuple[str, ...]]] = {}

    def _folded_names(self) -> set[str]:
        return {name for names in self.folds.values() for name in names}

    def shown_first(self) -> list[BoundField]:
        """The visible fields that are asked at once."""
        folded = self._folded_names()
        return [field for field in self.visible_fields() if field.name not in folded]

    def folded(self) -> Iterator[Fold]:
        """The folds that have a field on this form."""
        for words, names in self.folds.items():
            fields = [self[name] for name in names if name in self.fields]
            if fields:
                yield Fold(words, fields, any(field.errors or _says_something(field) for field in fields))


def _says_something(field: BoundField) -> bool:
    """Whether a field holds anything else than what an empty form of its kind shows."""
    sent = [one for one in as_sent(field, field.value()) if one]
    ticked_or_not = isinstance(field.field, forms.BooleanField)
    return bool(sent or ticked_or_not) and sent != as_sent(field, field.field.initial)
