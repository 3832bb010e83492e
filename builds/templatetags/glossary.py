"""A word on a page that leads to its meaning."""

from typing import Any

from django import template
from django.template.context import RequestContext
from django.urls import reverse
from django.utils.html import format_html

from builds.glossary import BY_KEY
from calcs.messages import _

register = template.Library()


@register.simple_tag(takes_context=True)
def word(context: RequestContext, key: str, shown: str = "") -> Any:
    """A word of the list, or `shown` in its place, as a link to what it means; as it is for whoever is not signed in.

    Raises KeyError for a key that the list does not have.
    """
    text = shown or _(BY_KEY[key].name)
    user = context.get("user")
    if user is None or not user.is_authenticated:
        return text
    return format_html('<a class="word" href="{}#{}">{}</a>', reverse("builds:words"), key, text)
