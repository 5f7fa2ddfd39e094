from django.urls import path

from commissions.pages.studio import views as studio

app_name = "pages"
urlpatterns = [
    path("studio/", studio.today, name="today"),
    path("studio/commissions/", studio.commissions, name="commissions"),
    path("studio/commissions/<str:reference>/", studio.one_piece, name="piece"),
    path("studio/commissions/<str:reference>/messages/", studio.messages_page, name="messages"),
    path("studio/commissions/<str:reference>/hold/", studio.hold, name="hold"),
    path("studio/commissions/<str:reference>/promise/", studio.promise, name="promise"),
    path("studio/commissions/<str:reference>/withdraw/", studio.withdraw, name="withdraw"),
]
