from django.urls import path

from commissions.design import views

app_name = "design-yours"
urlpatterns = [
    path("<str:reference>/design/", views.yours, name="design"),
    path("<str:reference>/design/compare/", views.yours_compare, name="compare"),
    path("<str:reference>/design/comments/<int:pk>/", views.yours_comment, name="comment"),
    path("<str:reference>/design/<str:letter>/comments/", views.yours_comments, name="comments"),
    path("<str:reference>/design/<str:letter>/true-size/", views.yours_true_size, name="true-size"),
    path("<str:reference>/design/pictures/<int:pk>/<int:size>/", views.yours_picture, name="picture"),
]
