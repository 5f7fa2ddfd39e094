from django.apps import AppConfig


class DesignConfig(AppConfig):
    name = "commissions.design"
    label = "design"
