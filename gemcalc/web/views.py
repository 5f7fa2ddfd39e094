"""The figures' pages: the list of them, one calculator each, files, and where the figures come from."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from gemcalc.web.calculators import CALCULATORS, GROUPS
from gemcalc.web.page import calculator_page, commission_in
from gemcalc.web.sources import page_of_sources
from gemcalc.web.uploads import gap as gaps
from gemcalc.web.uploads import model as models
from gemcalc.web.uploads import scan as scans
from gemcalc.web.uploads.page import upload_page
from studio.people.access import staff

FIT = (
    "Halo fit",
    "The halo for the stone in the tray, from the melee in the drawer, drawn as you type.",
    "halo",
)
BESIDES = {"Halo and stone": (scans.PAGE, gaps.PAGE), "Metal": (models.PAGE,)}
"""Pages that take a file, under the heading where a person looks for them."""


@staff()
@require_safe
def index(request):
    """Every calculator in plain words."""
    groups = []
    for heading, calculators in GROUPS:
        rows = [(one.title, one.does, reverse("figures:calculator", args=[one.name])) for one in calculators]
        rows += [(one.title, one.does, reverse(f"figures:{one.name}")) for one in BESIDES.get(heading, ())]
        groups.append((heading, rows))
    groups[0][1].insert(0, (FIT[0], FIT[1], reverse("figures:halo")))
    return render(request, "figures/index.html", {"groups": groups, "commission": commission_in(request)})


@staff()
@require_safe
def calculator(request, name: str):
    """One calculator."""
    if name not in CALCULATORS:
        raise Http404
    return calculator_page(request, CALCULATORS[name])


@staff()
@require_http_methods(["GET", "HEAD", "POST"])
def scan(request):
    """A scanned girdle, fitted."""
    return upload_page(request, scans.PAGE)


@staff()
@require_http_methods(["GET", "HEAD", "POST"])
def gap(request):
    """A model laid over the stone."""
    return upload_page(request, gaps.PAGE)


@staff()
@require_http_methods(["GET", "HEAD", "POST"])
def model(request):
    """A CAD model's weight."""
    return upload_page(request, models.PAGE)


@require_safe
def sources(request):
    """Where our figures come from; open to anyone."""
    return render(request, "figures/sources.html", page_of_sources())
