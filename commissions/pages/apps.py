from django.apps import AppConfig


class PagesConfig(AppConfig):
    name = "commissions.pages"
    label = "pages"
