from django.urls import path

from commissions.design import views

app_name = "design"
urlpatterns = [
    path("commissions/<str:reference>/design/", views.design, name="design"),
    path("commissions/<str:reference>/design/draft/", views.draft, name="draft"),
    path("commissions/<str:reference>/design/back/", views.start_revision, name="start-revision"),
    path("commissions/<str:reference>/design/compare/", views.compare, name="compare"),
    path("commissions/<str:reference>/design/included/", views.revision_terms, name="terms"),
    path("commissions/<str:reference>/design/comments/<int:pk>/", views.answer, name="comment-answer"),
    path("commissions/<str:reference>/design/<str:letter>/comments/", views.studio_comments, name="comments"),
    path("commissions/<str:reference>/design/<str:letter>/true-size/", views.true_size, name="true-size"),
    path("commissions/<str:reference>/design/<str:letter>/send/", views.send, name="send"),
    path("commissions/<str:reference>/design/<str:letter>/sheet/", views.sheet, name="sheet"),
    path("commissions/<str:reference>/design/<str:letter>/sheet.pdf", views.sheet_pdf, name="sheet-pdf"),
    path("commissions/<str:reference>/design/<str:letter>/sheet.dxf", views.sheet_dxf, name="sheet-dxf"),
]
