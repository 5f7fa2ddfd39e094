from django.urls import path

from commissions.sourcing import views

app_name = "sourcing"
urlpatterns = [
    path("stones/", views.stones, name="stones"),
    path("stones/<int:pk>/check-in/", views.check_in, name="check-in"),
    path("commissions/<str:reference>/stones/", views.of_commission, name="commission"),
    path("commissions/<str:reference>/stones/offer/", views.offer, name="offer"),
    path("commissions/<str:reference>/stones/<int:pk>/choose/", views.choose, name="choose"),
]
