"""Addresses under /figures/."""

from django.urls import path

from gemcalc.web import views
from gemcalc.web.halo import views as fit

app_name = "figures"
urlpatterns = [
    path("", views.index, name="index"),
    path("sources/", views.sources, name="sources"),
    path("halo/", fit.halo, name="halo"),
    path("halo/near/", fit.halo_near, name="halo-near"),
    path("halo/drawing.dxf", fit.halo_dxf, name="halo-dxf"),
    path("halo/halo.json", fit.halo_json, name="halo-json"),
    path("halo/sheet.pdf", fit.halo_sheet, name="halo-sheet"),
    path("scan/", views.scan, name="scan"),
    path("gap/", views.gap, name="gap"),
    path("model/", views.model, name="model"),
    path("<slug:name>/", views.calculator, name="calculator"),
]
