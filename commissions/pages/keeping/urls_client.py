from django.urls import path

from commissions.pages.keeping import views

app_name = "keeping-yours"
urlpatterns = [
    path("data/", views.kept, name="kept"),
    path("data/your-data.zip", views.take_along, name="take-along"),
    path("data/forget/", views.forget, name="forget"),
]
