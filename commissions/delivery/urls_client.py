from django.urls import path

from commissions.delivery.views import client as views

app_name = "delivery-yours"
urlpatterns = [
    path("<str:reference>/delivery/", views.yours, name="delivery"),
    path("<str:reference>/delivery/address/", views.address, name="address"),
    path("<str:reference>/delivery/arrived/", views.arrived, name="arrived"),
    path("<str:reference>/care/", views.care, name="care"),
]
