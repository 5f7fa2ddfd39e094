from django.urls import path

from commissions.pages.keeping import views

app_name = "keeping"
urlpatterns = [
    path("house/keeping/", views.keeping, name="keeping"),
    path("house/keeping/wishes/<int:pk>/", views.wish, name="wish"),
]
