from django.apps import AppConfig


class FiguresConfig(AppConfig):
    name = "gemcalc.web"
    label = "figures"
