from django.urls import path

from commissions.pages.client import views as client
from commissions.pages.studio import views as studio

app_name = "pages"
urlpatterns = [
    path("studio/", studio.today, name="today"),
    path("studio/house/", studio.studio_page, name="studio"),
    path("studio/commissions/", studio.commissions, name="commissions"),
    path("studio/commissions/<str:reference>/", studio.one_piece, name="piece"),
    path("studio/commissions/<str:reference>/messages/", studio.messages_page, name="messages"),
    path("studio/commissions/<str:reference>/hold/", studio.hold, name="hold"),
    path("studio/commissions/<str:reference>/promise/", studio.promise, name="promise"),
    path("studio/commissions/<str:reference>/withdraw/", studio.withdraw, name="withdraw"),
    path("yours/", client.home, name="client-home"),
    path("yours/<str:reference>/", client.ring, name="client-ring"),
    path("yours/<str:reference>/progress/", client.progress, name="client-progress"),
    path("yours/<str:reference>/progress/<int:pk>/<int:size>/", client.photo, name="client-photo"),
    path("yours/<str:reference>/answer/<int:pk>/", client.answer, name="client-answer"),
    path("yours/<str:reference>/messages/", client.messages, name="client-messages"),
]
