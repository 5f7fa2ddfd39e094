"""The one way of this room that needs no sign-in, under /letters/."""

from django.urls import path

from commissions.letters import views

urlpatterns = [path("stop/<str:word>/", views.stop, name="letters-stop")]
