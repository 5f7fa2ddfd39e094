from django.apps import AppConfig


class BenchConfig(AppConfig):
    name = "commissions.bench"
    label = "bench"
