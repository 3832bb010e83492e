"""What was refused on a page, for its top and its title."""

from typing import Any

from django import template
from django.template.context import RequestContext

from builds.forms.refused import Refusal, refusals_of

register = template.Library()


@register.simple_tag(takes_context=True)
def refused(context: RequestContext) -> list[Refusal]:
    """What is refused or asked in whichever forms the page was given."""
    given: dict[str, Any] = context.flatten()
    return refusals_of(given.values())
