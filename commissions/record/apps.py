from django.apps import AppConfig


class RecordConfig(AppConfig):
    name = "commissions.record"
    label = "record"
