from django.urls import path

from commissions.delivery.views import calendar as views

app_name = "calendar"
urlpatterns = [path("<str:key>/studio.ics", views.feed, name="feed")]
