from django.urls import path

from commissions.delivery.views import public as views

app_name = "kind"
urlpatterns = [
    path("", views.kind_words, name="words"),
    path("photo/<int:pk>/<int:size>/", views.kind_photo, name="photo"),
]
