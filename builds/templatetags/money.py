"""Amounts of money as pages show them."""

from decimal import Decimal
from typing import Any

from django import template

from builds.templatetags.figures import not_known
from calcs.parts.pricing import money as in_words

register = template.Library()


@register.filter
def money(amount: Any, currency: str = "") -> str:
    """An amount with two decimals and the shop's sign: "£12.50". None is "not known"."""
    return in_words(amount, currency) if isinstance(amount, Decimal) else not_known()
