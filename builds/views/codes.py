"""Codes that a phone reads off paper or off a screen."""

from functools import lru_cache

from django.http import HttpRequest
from django.http.request import split_domain_port
from django.utils.safestring import SafeString, mark_safe

OF_THIS_MACHINE = ("localhost", "127.0.0.1", "[::1]")


def this_machine_alone(request: HttpRequest) -> bool:
    """Whether the page was asked for under a name that no phone can follow."""
    return split_domain_port(request.get_host())[0] in OF_THIS_MACHINE


@lru_cache(maxsize=64)
def drawn_code(address: str) -> SafeString:
    """An address as a QR code (ISO/IEC 18004) in SVG: level M, with the quiet zone of four modules."""
    import segno

    drawn = segno.make(address, error="m", micro=False)
    return mark_safe(drawn.svg_inline(omitsize=True, border=4, light="#fff", svgclass=None, lineclass=None))  # noqa: S308
