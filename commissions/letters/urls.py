"""Ways to the letters of a commission, under /studio/."""

from django.urls import path

from commissions.letters import views

app_name = "letters"
urlpatterns = [
    path("commissions/<str:reference>/letters/", views.letters, name="letters"),
    path("commissions/<str:reference>/letters/reply/", views.reply, name="reply"),
    path("commissions/<str:reference>/letters/wish/", views.wish, name="wish"),
    path("commissions/<str:reference>/letters/<int:pk>/", views.draft, name="draft"),
    path("commissions/<str:reference>/letters/<int:pk>/preview/", views.preview, name="preview"),
    path("commissions/<str:reference>/letters/<int:pk>/decline/", views.decline, name="decline"),
]
