"""The program's addresses, and one more: a page that reads one row and says its name, which is as little as one can."""

from django.apps import apps
from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse
from django.urls import path

from builds.urls import urlpatterns as pages


@login_not_required
def least(request: HttpRequest, slug: str) -> HttpResponse:
    return HttpResponse(apps.get_model("builds", "Build").objects.get(slug=slug).name)


def least_signed_in(request: HttpRequest, slug: str) -> HttpResponse:
    return HttpResponse(apps.get_model("builds", "Build").objects.get(slug=slug).name)


urlpatterns = [path("least/<slug:slug>/", least), path("least-signed-in/<slug:slug>/", least_signed_in), *pages]
