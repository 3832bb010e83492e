"""What holds in the database itself, each with the sentence that a form says where it does not hold.

The sentences are translated when they are shown, so they come as `gettext_lazy` gives them.
"""

from typing import Any

from django.db import models
from django.utils.functional import lazy

from calcs.messages import _


def must(name: str, condition: models.Q, message: Any) -> models.CheckConstraint:
    """What every record meets by itself."""
    return models.CheckConstraint(condition=condition, name=name, violation_error_message=message)


def once(name: str, fields: list[str], message: Any) -> models.UniqueConstraint:
    """No two records agree in all of these fields."""
    return models.UniqueConstraint(fields=fields, name=name, violation_error_message=message)


def one_of(field: str, choices: type[models.TextChoices], name: str, *, blank: bool = False) -> models.CheckConstraint:
    """A text field holds one of its choices in the database as well."""
    values = [*choices.values, ""] if blank else choices.values
    return must(name, models.Q(**{f"{field}__in": values}), _choose_one_of(choices))


def _sentence(choices: type[models.TextChoices]) -> str:
    return _("Choose one of: {choices}.", choices=", ".join(str(label) for label in choices.labels))


_choose_one_of = lazy(_sentence, str)
