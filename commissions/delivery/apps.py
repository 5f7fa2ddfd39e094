from django.apps import AppConfig


class DeliveryConfig(AppConfig):
    name = "commissions.delivery"
    label = "delivery"
