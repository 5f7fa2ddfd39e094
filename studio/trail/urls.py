from django.urls import path, register_converter

from studio.trail import views


class Ending:
    """The two forms in which the trail is taken along."""

    regex = "csv|jsonl"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value


register_converter(Ending, "trail_ending")

app_name = "trail"
urlpatterns = [
    path("trail/", views.trail, name="trail"),
    path("trail/prove/", views.prove, name="prove"),
    path("trail/trail.<trail_ending:ending>", views.export, name="export"),
]
