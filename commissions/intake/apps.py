from django.apps import AppConfig


class IntakeConfig(AppConfig):
    name = "commissions.intake"
    label = "intake"
