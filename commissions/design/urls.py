from django.urls import path, register_converter

from commissions.design import views


class Letter:
    """The letter of a revision in an address: A, B, … AA."""

    regex = "[A-Z]{1,2}"

    def to_python(self, value: str) -> str:
        return value

    def to_url(self, value: str) -> str:
        return value


register_converter(Letter, "letter")

app_name = "design"
HERE = "commissions/<str:reference>/design/"
urlpatterns = [
    path(HERE, views.design, name="design"),
    path(f"{HERE}back/", views.start_revision, name="start-revision"),
    path(f"{HERE}draft/scan/", views.new_scan, name="new-scan"),
    path(f"{HERE}compare/", views.compare, name="compare"),
    path(f"{HERE}included/", views.revision_terms, name="terms"),
    path(f"{HERE}comments/<int:pk>/", views.answer, name="comment-answer"),
    path(f"{HERE}<letter:letter>/comments/", views.studio_comments, name="comments"),
    path(f"{HERE}<letter:letter>/true-size/", views.true_size, name="true-size"),
    path(f"{HERE}<letter:letter>/", views.revision, name="revision"),
    path(f"{HERE}<letter:letter>/send/", views.send, name="send"),
    path(f"{HERE}<letter:letter>/files/", views.add_file, name="add-file"),
    path(f"{HERE}<letter:letter>/files/<int:pk>/", views.file, name="file"),
    path(f"{HERE}<letter:letter>/files/<int:pk>/<int:size>/", views.file_picture, name="file-picture"),
    path(f"{HERE}<letter:letter>/files/<int:pk>/remove/", views.remove_file, name="remove-file"),
    path(f"{HERE}<letter:letter>/scan/<int:pk>/", views.scan, name="scan"),
]
