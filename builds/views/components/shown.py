"""What the page of components shows: a template with what it is given, and the state that this is."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from types import SimpleNamespace as Sample
from typing import Any

from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils.safestring import SafeString

__all__ = ["Group", "Sample", "Shown", "drawn"]


@dataclass(frozen=True)
class Shown:
    """One component in one state."""

    template: str
    state: str
    given: Mapping[str, Any] = field(default_factory=dict)


@dataclass(frozen=True)
class Group:
    """Components that belong together, below one heading."""

    name: str
    shown: tuple[Shown, ...]
    beside: bool = False
    """Narrow ones, which stand beside one another."""


@dataclass(frozen=True)
class Drawn:
    template: str
    state: str
    html: SafeString


def drawn(request: HttpRequest, group: Group, also: Mapping[str, Any]) -> tuple[Group, Iterable[Drawn]]:
    """The group and its components as they stand on a page that has `also` in its context."""
    found = [
        Drawn(one.template, one.state, render_to_string(one.template, {**also, **one.given}, request))
        for one in group.shown
    ]
    return group, found
