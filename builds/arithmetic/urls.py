from django.urls import path

from builds.arithmetic import views

app_name = "arithmetic"

urlpatterns = [
    path("", views.index, name="index"),
    path("<slug:name>/", views.sheet, name="sheet"),
]
