from django.urls import path

from commissions.delivery.views import client as views
from commissions.delivery.views import papers

app_name = "delivery-yours"
urlpatterns = [
    path("<str:reference>/delivery/", views.yours, name="delivery"),
    path("<str:reference>/delivery/address/", views.address, name="address"),
    path("<str:reference>/delivery/arrived/", views.arrived, name="arrived"),
    path("<str:reference>/care/", views.care, name="care"),
    path("<str:reference>/delivery/papers/<str:kind>/", papers.yours, name="paper"),
]
