from django.apps import AppConfig


class MoneyConfig(AppConfig):
    name = "commissions.money"
    label = "money"
