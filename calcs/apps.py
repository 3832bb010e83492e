from django.apps import AppConfig


class CalcsConfig(AppConfig):
    name = "calcs"
    verbose_name = "Shop arithmetic"
