"""Words that were found, marked where they stand."""

from collections.abc import Iterable

from django import template
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString

register = template.Library()


@register.filter
def marked(pieces: Iterable[tuple[str, bool]]) -> SafeString:
    """Pieces of a text, those that were sought marked; whatever stands in them is text."""
    return format_html_join(
        "", "{}", ((format_html("<mark>{}</mark>", piece) if found else piece,) for piece, found in pieces)
    )
