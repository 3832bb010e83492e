"""Where a service's refusal goes: beside the field that it names, or on top of the page that comes next."""

from collections.abc import Iterator
from contextlib import contextmanager

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.forms import BaseForm
from django.http import HttpRequest

from builds.forms.two_people import refuse


@contextmanager
def refusals_beside(form: BaseForm) -> Iterator[None]:
    """Put what is refused inside into the form; what follows inside is then left undone."""
    try:
        yield
    except ValidationError as error:
        refuse(form, error)


@contextmanager
def refusals_on_top(request: HttpRequest) -> Iterator[None]:
    """Say what is refused inside on top of the next page; what follows inside is then left undone."""
    try:
        yield
    except ValidationError as error:
        messages.error(request, " ".join(error.messages))
