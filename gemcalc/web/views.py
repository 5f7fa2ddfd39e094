"""The figures' pages: the list of them, one calculator each, and where the figures come from."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_safe

from gemcalc.web.calculators import CALCULATORS, GROUPS
from gemcalc.web.page import calculator_page, commission_in
from gemcalc.web.sources import page_of_sources
from studio.people.access import staff


@staff()
@require_safe
def index(request):
    """Every calculator in plain words."""
    return render(request, "figures/index.html", {"groups": GROUPS, "commission": commission_in(request)})


@staff()
@require_safe
def calculator(request, name: str):
    """One calculator."""
    if name not in CALCULATORS:
        raise Http404
    return calculator_page(request, CALCULATORS[name])


@require_safe
def sources(request):
    """Where our figures come from; open to anyone."""
    return render(request, "figures/sources.html", page_of_sources())
