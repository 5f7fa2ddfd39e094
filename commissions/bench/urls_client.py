from django.urls import path

from commissions.bench import views

app_name = "bench-yours"
urlpatterns = [
    path("<str:reference>/date/", views.your_date, name="date"),
    path("<str:reference>/date/cancel/", views.your_cancelling, name="cancelling"),
]
