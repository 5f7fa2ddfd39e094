from django.urls import path

from commissions.money import views
from commissions.money.views import withdrawing

app_name = "money-yours"
urlpatterns = [
    path("card/notice/", views.card_notice, name="card-notice"),
    path("<str:reference>/money/card/", views.pay_by_card, name="card"),
    path("<str:reference>/money/", views.yours, name="yours"),
    path("<str:reference>/withdraw/", withdrawing.withdraw, name="withdraw"),
    path("<str:reference>/money/agree/", views.agree, name="agree"),
    path("<str:reference>/money/pay/", views.how_to_pay, name="how-to-pay"),
    path("<str:reference>/money/change/<int:number>/", views.your_change, name="change"),
    path("<str:reference>/money/ask/", views.ask, name="ask"),
    path("<str:reference>/money/quotation-<int:version>.pdf", views.your_quotation_pdf, name="quotation-pdf"),
    path("<str:reference>/money/papers/<str:kind>-<int:pk>.pdf", views.your_paper_pdf, name="paper-pdf"),
    path("<str:reference>/money/receipt-<int:pk>.pdf", views.your_receipt_pdf, name="receipt-pdf"),
]
