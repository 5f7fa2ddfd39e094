from django.urls import path

from commissions.record import views

app_name = "record"
urlpatterns = [
    path("briefs/<str:reference>/open/", views.open_commission, name="open"),
    path("commissions/<str:reference>/client/", views.the_client, name="client"),
]
