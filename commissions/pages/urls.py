from django.urls import path

from commissions.pages.client import hold_points as client_holds
from commissions.pages.client import views as client
from commissions.pages.studio import design, what_if
from commissions.pages.studio import hold_points as studio_holds
from commissions.pages.studio import views as studio

app_name = "pages"
DESIGN = "studio/commissions/<str:reference>/design/"
urlpatterns = [
    path("studio/", studio.today, name="today"),
    path("studio/house/", studio.studio_page, name="studio"),
    path("studio/commissions/", studio.commissions, name="commissions"),
    path("studio/commissions/<str:reference>/", studio.one_piece, name="piece"),
    path("studio/commissions/<str:reference>/messages/", studio.messages_page, name="messages"),
    path("studio/commissions/<str:reference>/papers/", studio.papers, name="papers"),
    path("studio/commissions/<str:reference>/hold/", studio.hold, name="hold"),
    path("studio/commissions/<str:reference>/promise/", studio.promise, name="promise"),
    path("studio/commissions/<str:reference>/withdraw/", studio.withdraw, name="withdraw"),
    path(f"{DESIGN}draft/", design.draft, name="draft"),
    path(f"{DESIGN}<letter:letter>/sheet/", design.sheet, name="sheet"),
    path(f"{DESIGN}<letter:letter>/sheet.pdf", design.sheet_pdf, name="sheet-pdf"),
    path(f"{DESIGN}<letter:letter>/sheet.dxf", design.sheet_dxf, name="sheet-dxf"),
    path(f"{DESIGN}<letter:letter>/model/", design.model_check, name="model-check"),
    path(f"{DESIGN}<letter:letter>/what-if/", what_if.what_if, name="what-if"),
    path("studio/commissions/<str:reference>/hold-points/", studio_holds.hold_points, name="hold-points"),
    path("yours/", client.home, name="client-home"),
    path("yours/<str:reference>/", client.ring, name="client-ring"),
    path("yours/<str:reference>/progress/", client.progress, name="client-progress"),
    path("yours/<str:reference>/progress/<int:pk>/<int:size>/", client.photo, name="client-photo"),
    path("yours/<str:reference>/answer/<int:pk>/", client.answer, name="client-answer"),
    path("yours/<str:reference>/hold-points/", client_holds.hold_points, name="client-hold-points"),
    path("yours/<str:reference>/papers/", client.papers, name="client-papers"),
    path("yours/<str:reference>/messages/", client.messages, name="client-messages"),
]
