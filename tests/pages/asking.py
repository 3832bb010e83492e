"""Pressing once more: a form that came back with a question, sent as the page shows it."""

import html
import re
from typing import Any

from django.test import Client

HIDDEN = re.compile(r'<input type="hidden" name="([^"]*(?:confirmed|stopped_at))"(?: value="([^"]*)")?')
ON_TOP = "Something here is odd, and nothing has been written yet. If it is right, press once more."


def questions(page: str) -> list[str]:
    """What is asked on a page, a text for each box, with its white space made one."""
    boxes = re.findall(r'message--warning" role="alert">\s*<p>(.*?)</p>', page, re.DOTALL)
    return [" ".join(html.unescape(box).replace("<br>", " ").split()) for box in boxes]


def press_again(client: Client, to: str, data: dict[str, Any], page: str, **options: Any) -> Any:
    """The answer to the same form with the yes that the page holds."""
    said = {name: html.unescape(value) for name, value in HIDDEN.findall(page)}
    return client.post(to, {**data, **said}, **options)
