from django.urls import path

from commissions.design import views

app_name = "design-yours"
urlpatterns = [path("<str:reference>/design/", views.yours, name="design")]
