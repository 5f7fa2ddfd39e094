from django.urls import path

from commissions.intake.views import coming_back, front, pictures, questions, sending, studio

app_name = "intake"
urlpatterns = [
    path("", front.front, name="front"),
    path("brief/", front.brief, name="brief"),
    path("brief/forget/", front.forget, name="forget"),
    path("brief/keep/", coming_back.keep, name="keep"),
    path("brief/back/", coming_back.back, name="back"),
    path("brief/back/code/", coming_back.code, name="back-code"),
    path("brief/back/<str:token>/", coming_back.link, name="back-link"),
    path("brief/check/", sending.check, name="check"),
    path("brief/send/", sending.send, name="send"),
    path("brief/send/code/", sending.prove, name="prove"),
    path("brief/send/<str:token>/", sending.link, name="send-link"),
    path("brief/sent/<str:reference>/", sending.sent, name="sent"),
    path("brief/pictures/", pictures.pictures, name="pictures"),
    path("brief/pictures/<int:pk>/remove/", pictures.remove, name="picture-remove"),
    path("brief/pictures/<int:pk>/<int:size>/", pictures.picture, name="picture"),
    path("brief/<slug:slug>/", questions.question, name="question"),
    path("brief/<slug:slug>/hint/", questions.hint, name="hint"),
    path("studio/briefs/", studio.briefs, name="briefs"),
    path("studio/briefs/<str:reference>/", studio.brief, name="studio-brief"),
    path("studio/briefs/<str:reference>/decline/", studio.decline, name="decline"),
    path(
        "studio/briefs/<str:reference>/pictures/<int:pk>/<int:size>/", studio.picture, name="studio-picture"
    ),
]
