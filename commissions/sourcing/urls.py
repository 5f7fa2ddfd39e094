from django.urls import path

from commissions.sourcing import views

app_name = "sourcing"
urlpatterns = [
    path("stones/", views.stones, name="stones"),
    path("stones/lots/", views.lots, name="lots"),
    path("stones/lots/<int:pk>/", views.lot, name="lot"),
    path("stones/held/", views.held, name="held"),
    path("stones/<int:pk>/approval/", views.approval, name="approval"),
    path("stones/<int:pk>/drop/", views.drop, name="drop"),
    path("stones/<int:pk>/write-off/", views.write_off, name="write-off"),
    path("stones/<int:pk>/check-in/", views.check_in, name="check-in"),
    path("stones/<int:pk>/photos/", views.add_photo, name="add-photo"),
    path("stones/<int:pk>/photos/<int:photo>/<int:size>/", views.photo_file, name="photo-file"),
    path("stones/<int:pk>/plot/", views.plot, name="plot"),
    path("stones/<int:pk>/plot/<int:mark>/strike/", views.strike, name="strike"),
    path("stones/<int:pk>/condition/", views.condition, name="condition"),
    path("stones/<int:pk>/condition/<int:number>.pdf", views.condition_pdf, name="condition-pdf"),
    path(
        "stones/<int:pk>/condition/<int:number>-signed.pdf",
        views.condition_pdf,
        {"kind": "signed"},
        name="condition-signed-pdf",
    ),
    path("stones/<int:pk>/same/", views.ask_same, name="ask-same"),
    path("stones/<int:pk>/north/", views.north, name="north"),
    path("stones/<int:pk>/to-report/", views.to_report, name="to-report"),
    path("stones/<int:pk>/turn/", views.turn, name="turn"),
    path("stones/<int:pk>/hand-over/", views.hand_over, name="hand-over"),
    path("commissions/<str:reference>/stones/", views.of_commission, name="commission"),
    path("commissions/<str:reference>/stones/order/", views.order, name="order"),
    path("commissions/<str:reference>/stones/order.pdf", views.order_pdf, name="order-pdf"),
    path("commissions/<str:reference>/stones/offer/", views.offer, name="offer"),
    path("commissions/<str:reference>/stones/<int:pk>/choose/", views.choose, name="choose"),
]
