from django.apps import AppConfig


class OutboxConfig(AppConfig):
    name = "studio.outbox"
    label = "outbox"
