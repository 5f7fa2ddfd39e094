"""Ways to the outbox, under /studio/outbox/."""

from django.urls import path

from studio.outbox import views

app_name = "outbox"
urlpatterns = [
    path("", views.letters, name="letters"),
    path("test/", views.test_letter, name="test"),
    path("<int:pk>/", views.letter, name="letter"),
    path("<int:pk>/html/", views.letter_html, name="letter-html"),
    path("<int:pk>/again/", views.send_again, name="send-again"),
    path("<int:pk>/came-back/", views.came_back, name="came-back"),
]
