from django.urls import path

from commissions.sourcing import views

app_name = "sourcing-yours"
urlpatterns = [
    path("<str:reference>/stones/", views.yours, name="stones"),
    path("<str:reference>/stones/condition/", views.yours_condition, name="condition"),
    path("<str:reference>/stones/condition.pdf", views.yours_condition_pdf, name="condition-pdf"),
    path("<str:reference>/stones/same/", views.yours_same, name="same"),
    path("<str:reference>/stones/photos/<int:photo>/<int:size>/", views.yours_photo, name="photo"),
]
