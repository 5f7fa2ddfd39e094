from django.apps import AppConfig


class SourcingConfig(AppConfig):
    name = "commissions.sourcing"
    label = "sourcing"
