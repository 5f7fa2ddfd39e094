"""The fit page, what is near it, and what it hands out: DXF, JSON, a printed sheet."""

from __future__ import annotations

from django.conf import settings
from django.http import HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.module_loading import import_string
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_safe

from gemcalc.drawing import to_dxf, to_svg
from gemcalc.errors import BadInput
from gemcalc.web.halo.answer import (
    answer_of,
    commission_address,
    must_be_sound,
    nearby,
    order_rows,
    scene_of,
)
from gemcalc.web.halo.fitting import Fitted, fitted, near
from gemcalc.web.halo.form import HaloForm, case_of
from gemcalc.web.page import address_of, asked, commission_in, hush, show
from studio import papers
from studio.people.access import staff

WAIT_MS = 120
"""How long a hand must rest before what it typed is asked for: longer than between two keys, hardly felt."""

EXAMPLES = (
    ("A round of 6.50 in a halo that follows it", "diameter=6.5&wanted=1.3"),
    (
        "The same round in a cushion halo, larger stones toward the corners",
        "diameter=6.5&target=cushion&t_length=9.6&t_width=9.6&t_corner_radius=2.7&t_side_bow=0.3&clearance_max=0.4",
    ),
    (
        "An oval of 8 × 6 from a drawer that is counted",
        "cut=oval&length=8&width=6&sizes=1.1:+20,+1.2:+14,+1.3:+10",
    ),
    ("A pear with a stone at its point", "cut=pear&length=9&width=6&rays=12&step=0.6&clearance_max=0.35"),
)
"""What a newcomer may press: words, and what would have been typed."""


def _found(form: HaloForm) -> Fitted | None:
    """The halo where the boxes hold a case; the library's refusal goes beside the box at fault."""
    if not form.is_valid():
        return None
    try:
        return fitted(case_of(form.cleaned_data))
    except BadInput as error:
        form.refuse(error)
        return None


DRAWERS = {"natural": "From the drawer: natural", "laboratory-grown": "From the drawer: laboratory-grown"}
"""Whose stones may be taken from the drawer at one press: origin, and the words on the button."""


def _from_drawer(request) -> HttpResponse | None:
    """The same page with what the drawer holds in its box; None where nobody asked for it."""
    origin = request.GET.get("drawer")
    if origin not in DRAWERS:
        return None
    held = import_string(settings.FIGURES_DRAWER)(species="diamond", origin=origin)
    data = request.GET.copy()
    del data["drawer"]
    if held:
        data["sizes"] = ", ".join(f"{size}: {held[size]}" for size in sorted(held, key=float))
    else:
        data["none_held"] = origin
    return redirect(f"{reverse('figures:halo')}?{data.urlencode(safe=',:')}")


@staff()
@require_safe
def halo(request):
    """The fit page: the halo as somebody types; *drawer* fills in what the drawer holds."""
    filled = _from_drawer(request)
    if filled is not None:
        return filled
    bound = asked(request, HaloForm)
    form = HaloForm(request.GET if bound else None)
    found = _found(form) if bound else None
    wanting = hush(form) if bound and request.htmx else []
    commission = commission_in(request)
    context = {
        "found": found,
        "wanting": wanting,
        "asked": bound,
        "examples": EXAMPLES,
        "wait_ms": WAIT_MS,
        "drawers": DRAWERS,
        "none_held": DRAWERS.get(request.GET.get("none_held", ""), ""),
    }
    if found is not None:
        context["answer"] = answer_of(found, view=form.cleaned_data["view"])
        context |= _ways_on(request, form, found, commission)
        if not request.htmx:
            context["near"] = _near(form, found, commission)
    return show(request, "figures/halo.html", "figures/halo_answer.html", form, context)


def _ways_on(request, form: HaloForm, found: Fitted, commission: str) -> dict[str, object]:
    query = address_of("", form, commission)
    return {
        "query": query,
        "near_address": reverse("figures:halo-near") + query,
        "this_address": request.build_absolute_uri(reverse("figures:halo") + query),
        "into_commission": commission_address(found, commission) if commission and found.feasible else "",
    }


def _near(form: HaloForm, found: Fitted, commission: str) -> list[dict[str, object]]:
    kept = {"commission": commission, "view": form.cleaned_data["view"] if form.data.get("view") else ""}
    return nearby(found, near(found), path=reverse("figures:halo"), kept=kept)


@staff()
@require_safe
def halo_near(request):
    """What is near the halo of this address: asked for when the typing hand rests."""
    form = HaloForm(request.GET)
    found = _found(form)
    rows = _near(form, found, commission_in(request)) if found is not None else []
    return render(request, "figures/halo_near.html", {"found": found, "near": rows})


def _handed_out(request) -> Fitted | HttpResponse:
    """The sound halo of this address, or its page with what is wrong."""
    form = HaloForm(request.GET)
    found = _found(form)
    if found is not None:
        try:
            return must_be_sound(found)
        except BadInput as error:
            form.refuse(error)
    context = {
        "form": form,
        "found": None,
        "asked": True,
        "examples": EXAMPLES,
        "wait_ms": WAIT_MS,
        "drawers": DRAWERS,
        "commission": commission_in(request),
    }
    return render(request, "figures/halo.html", context, status=422)


@staff()
@require_safe
def halo_dxf(request):
    """The drawing as DXF R2010, mm, one to one."""
    found = _handed_out(request)
    if isinstance(found, HttpResponse):
        return found
    response = HttpResponse(to_dxf(scene_of(found, view="setter")), content_type="image/vnd.dxf")
    response["Content-Disposition"] = 'attachment; filename="halo.dxf"'
    return response


@staff()
@require_safe
def halo_json(request):
    """Case and layout as JSON."""
    found = _handed_out(request)
    if isinstance(found, HttpResponse):
        return found
    response = JsonResponse({"case": found.plain, "layout": found.layout}, json_dumps_params={"indent": 1})
    response["Content-Disposition"] = 'attachment; filename="halo.json"'
    return response


@staff()
@require_safe
def halo_sheet(request):
    """The setter's sheet as PDF: the drawing five times true size, the stones in order."""
    found = _handed_out(request)
    if isinstance(found, HttpResponse):
        return found
    context = {
        "svg": mark_safe(to_svg(scene_of(found, view="setter"), scale=5)),  # noqa: S308 (escaped where it is made)
        "answer": answer_of(found, view="setter"),
        "order": order_rows(found),
        "reference": commission_in(request),
    }
    try:
        paper = papers.make(template="print/halo_sheet.html", context=context)
    except papers.PapersUnavailable as error:
        return render(request, "figures/no_paper.html", {"words": str(error)}, status=503)
    response = HttpResponse(paper.content, content_type="application/pdf")
    response["Content-Disposition"] = 'inline; filename="halo.pdf"'
    return response
