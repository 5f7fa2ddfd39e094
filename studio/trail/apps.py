from django.apps import AppConfig


class TrailConfig(AppConfig):
    name = "studio.trail"
    label = "trail"
