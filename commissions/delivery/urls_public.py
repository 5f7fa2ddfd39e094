from django.urls import path

from commissions.delivery.views import public as views

app_name = "ring"
urlpatterns = [
    path("", views.ask, name="ask"),
    path("<str:fingerprint>/", views.verify, name="verify"),
]
