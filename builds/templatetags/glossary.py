"""A word on a page that leads to its meaning."""

from typing import Any

from django import template
from django.template.context import RequestContext
from django.urls import reverse
from django.utils.html import format_html, format_html_join

from builds.glossary import BY_KEY
from calcs.messages import _

register = template.Library()


def _is_signed_in(context: RequestContext) -> bool:
    """A part of a page that is kept for several readers has no user in it, only whether they are signed in."""
    user = context.get("user")
    return bool(context.get("signed_in")) if user is None else bool(user.is_authenticated)


@register.simple_tag(takes_context=True)
def word(context: RequestContext, key: str, shown: str = "") -> Any:
    """A word of the list, or `shown` in its place, as a link to what it means; as it is for whoever is not signed in.

    Raises KeyError for a key that the list does not have.
    """
    text = shown or _(BY_KEY[key].name)
    if not _is_signed_in(context):
        return text
    return format_html('<a class="word" href="{}#{}">{}</a>', reverse("builds:words"), key, text)


@register.simple_tag(takes_context=True)
def words(context: RequestContext, *keys: str) -> Any:
    """Words of the list in a row, as links to what they mean; nothing for whoever is not signed in.

    A key may be several, with spaces between.
    """
    if not _is_signed_in(context):
        return ""
    return format_html_join(", ", "{}", ((word(context, key),) for key in " ".join(keys).split()))
