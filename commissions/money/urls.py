from django.urls import path

from commissions.money import views
from commissions.money.views import withdrawing

app_name = "money"
urlpatterns = [
    path("money/", views.glance, name="glance"),
    path("money/ledger/", views.ledger, name="ledger"),
    path("money/entries/<int:pk>/", views.entry, name="entry"),
    path("money/entries/<int:pk>/reverse/", views.reverse, name="reverse"),
    path("money/prices/<str:currency>/", views.prices, name="prices"),
    path("money/ledger.csv", views.export_csv, name="export-csv"),
    path("money/ledger.beancount", views.export_beancount, name="export-beancount"),
    path("money/statements/", views.statements, name="statements"),
    path("money/statements/<int:pk>/", views.match, name="match"),
    path("money/statements/<int:pk>/same/", views.same, name="same"),
    path("money/looks/", views.looks, name="looks"),
    path("money/months/", views.periods, name="periods"),
    path("money/rule/", views.rule, name="rule"),
    path("money/bank/", views.bank, name="bank"),
    path("money/taxes/", views.taxes, name="taxes"),
    path("commissions/<str:reference>/money/", views.money, name="money"),
    path("commissions/<str:reference>/money/quotation/", views.quotation, name="quotation"),
    path("commissions/<str:reference>/money/withdrawal/", withdrawing.right, name="withdrawal-right"),
    path("commissions/<str:reference>/money/changes/", views.changes, name="changes"),
    path("commissions/<str:reference>/money/cancellation/", views.cancellation, name="cancellation"),
    path("commissions/<str:reference>/money/options/", views.options, name="options"),
    path("commissions/<str:reference>/money/send/", views.send, name="send"),
    path("commissions/<str:reference>/money/receipt/", views.receipt, name="receipt"),
    path("commissions/<str:reference>/money/spent/", views.spent, name="spent"),
    path(
        "commissions/<str:reference>/money/receipt-abroad/",
        views.receipt_abroad,
        name="receipt-abroad",
    ),
    path("commissions/<str:reference>/money/bill-abroad/", views.bill_abroad, name="bill-abroad"),
    path("commissions/<str:reference>/money/bills/<int:pk>/", views.bill, name="bill"),
    path(
        "commissions/<str:reference>/money/quotation-<int:version>.pdf",
        views.quotation_pdf,
        name="quotation-pdf",
    ),
    path(
        "commissions/<str:reference>/money/papers/<str:kind>-<int:pk>.pdf", views.paper_pdf, name="paper-pdf"
    ),
    path("commissions/<str:reference>/money/receipt-<int:pk>.pdf", views.receipt_pdf, name="receipt-pdf"),
]
