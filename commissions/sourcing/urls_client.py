from django.urls import path

from commissions.sourcing import views

app_name = "sourcing-yours"
urlpatterns = [path("<str:reference>/stones/", views.yours, name="stones")]
