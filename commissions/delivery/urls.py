from django.urls import path

from commissions.delivery.views import calendar, papers
from commissions.delivery.views import studio as views

app_name = "delivery"
urlpatterns = [
    path("dispatch/", views.dispatching, name="dispatch"),
    path("dispatch/calendar/", calendar.key, name="calendar"),
    path("dispatch/limits/", views.limits, name="limits"),
    path("commissions/<str:reference>/delivery/", views.delivery, name="delivery"),
    path("commissions/<str:reference>/delivery/address/", views.ask_address, name="ask-address"),
    path("commissions/<str:reference>/delivery/pack/", views.pack, name="pack"),
    path("commissions/<str:reference>/delivery/send/", views.dispatch, name="send"),
    path("commissions/<str:reference>/delivery/arrival/", views.arrival, name="arrival"),
    path("commissions/<str:reference>/delivery/photo/", views.add_photo, name="add-photo"),
    path(
        "commissions/<str:reference>/delivery/photo/<int:pk>/<int:size>/", views.photo_file, name="photo-file"
    ),
    path("commissions/<str:reference>/delivery/record/", papers.make_record, name="make-record"),
    path("commissions/<str:reference>/delivery/papers/<str:kind>/", papers.paper, name="paper"),
]
