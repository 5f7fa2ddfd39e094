from django.urls import path

from commissions.delivery.views import client as views
from commissions.delivery.views import client_care as care
from commissions.delivery.views import papers

app_name = "delivery-yours"
urlpatterns = [
    path("<str:reference>/delivery/", views.yours, name="delivery"),
    path("<str:reference>/delivery/address/", views.address, name="address"),
    path("<str:reference>/delivery/arrived/", views.arrived, name="arrived"),
    path("<str:reference>/delivery/papers/<int:pk>/", papers.yours, name="paper"),
    path("<str:reference>/care/", care.care, name="care"),
    path("<str:reference>/care/photo/<int:pk>/<int:size>/", care.photo, name="care-photo"),
    path("<str:reference>/care/worry/", care.new_worry, name="new-worry"),
    path("<str:reference>/care/worry/<int:pk>/", care.worry, name="worry"),
    path("<str:reference>/care/words/", care.kind_words, name="kind-words"),
    path("<str:reference>/care/words/consent/", care.consent, name="consent"),
]
