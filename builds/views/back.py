"""Going back to where somebody came from, and nowhere else."""

from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils.http import url_has_allowed_host_and_scheme


def back_to(request: HttpRequest, otherwise: str) -> HttpResponse:
    """Redirect to the form's `next`, if that is a path of this site; to `otherwise` if not."""
    asked = request.POST.get("next", "")
    ours = url_has_allowed_host_and_scheme(asked, allowed_hosts={request.get_host()}, require_https=request.is_secure())
    return HttpResponseRedirect(asked if ours and asked.startswith("/") else otherwise)
