from django.urls import path

from commissions.delivery.views import calendar, care, identity, jobs, papers
from commissions.delivery.views import studio as views

_ONE = "commissions/<str:reference>/"

app_name = "delivery"
urlpatterns = [
    path("dispatch/", views.dispatching, name="dispatch"),
    path("dispatch/calendar/", calendar.key, name="calendar"),
    path("dispatch/limits/", views.limits, name="limits"),
    path("kind-words/", care.kind_words, name="kind-words"),
    path(f"{_ONE}delivery/", views.delivery, name="delivery"),
    path(f"{_ONE}delivery/address/", views.ask_address, name="ask-address"),
    path(f"{_ONE}delivery/pack/", views.pack, name="pack"),
    path(f"{_ONE}delivery/send/", views.dispatch, name="send"),
    path(f"{_ONE}delivery/arrival/", views.arrival, name="arrival"),
    path(f"{_ONE}delivery/photo/", views.add_photo, name="add-photo"),
    path(f"{_ONE}delivery/photo/<int:pk>/<int:size>/", views.photo_file, name="photo-file"),
    path(f"{_ONE}delivery/read-again/", identity.read_again, name="read-again"),
    path(f"{_ONE}delivery/treatments/", identity.disclose, name="disclose"),
    path(f"{_ONE}delivery/record/", papers.make_record, name="make-record"),
    path(f"{_ONE}delivery/papers/<int:pk>/", papers.kept, name="kept-paper"),
    path(f"{_ONE}delivery/papers/<str:kind>/", papers.paper, name="paper"),
    path(f"{_ONE}delivery/worry/<int:pk>/", care.worry, name="worry"),
    path(f"{_ONE}delivery/care/", care.log, name="care"),
    path(f"{_ONE}delivery/care/photo/<int:pk>/<int:size>/", care.photo, name="care-photo"),
    path(f"{_ONE}job/", jobs.job, name="job"),
    path(f"{_ONE}job/new/", jobs.new, name="new-job"),
    path(f"{_ONE}job/price/", jobs.offer, name="offer-job"),
    path(f"{_ONE}job/ring/", jobs.take_in, name="take-in"),
]
