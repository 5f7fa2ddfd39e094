from django.apps import AppConfig


class StudioConfig(AppConfig):
    name = "studio"
    label = "studio"

    def ready(self) -> None:
        from studio import checks  # noqa: F401  (registers the operator's checks)
