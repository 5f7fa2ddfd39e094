"""The check sheet on the phone."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.bench import actions, drawing, gates, queries
from commissions.bench.actions.check import is_second_person
from commissions.bench.forms import CheckLineForm
from commissions.bench.sheet import BY_NUMBER, CENTRE, GAPS, IDENTITY, REOPENED_BY_A_FIX, line_for
from commissions.bench.views.common import job_or_404
from commissions.design.queries import agreed, facts_of
from commissions.money.queries import approved_changes
from commissions.record.errors import Refused
from commissions.sourcing.queries import orientation
from studio.people.access import staff
from studio.pictures.actions import discard, receive
from studio.pictures.errors import PictureRefused


@require_GET
@staff()
def check(request, reference):
    """Every line with where it stands, and what is still missing."""
    commission = job_or_404(request, reference)
    return render(request, "bench/check.html", _page(request, commission))


def _page(request, commission, **more):
    sheet = queries.sheet_of(commission=commission)
    rows = queries.standings(sheet=sheet)
    return {
        "commission": commission,
        "sheet": sheet,
        "rows": rows,
        "lie": orientation(commission=commission),
        "facts": facts_of(revision) if (revision := agreed(commission=commission)) else [],
        "void": [row.words for row in gates.agreement_stands(commission=commission)],
        "open": [row for row in rows if not row.is_settled],
        "is_second": sheet is None or is_second_person(sheet=sheet, person=request.user),
        "shots": queries.final_shots_missing(commission=commission),
        "changes": approved_changes(commission=commission),
        **more,
    }


@require_http_methods(["GET", "POST"])
@staff()
def check_line(request, reference, number):
    """One line: what it asks, its range and evidence, and the answer."""
    commission = job_or_404(request, reference)
    if number not in BY_NUMBER:
        raise Http404
    line = line_for(number, figures=queries.halo_figures(commission=commission))
    form = CheckLineForm(
        request.POST or None, request.FILES or None, line=line, initial=_known(commission, number)
    )
    missing = []
    if request.method == "POST" and form.is_valid():
        picture = None
        try:
            upload = form.cleaned_data["camera"] or form.cleaned_data["library"]
            picture = receive(upload=upload, kind="check", person_words=str(request.user)) if upload else None
            actions.answer_line(
                commission=commission,
                number=number,
                verdict=form.cleaned_data["verdict"],
                person=request.user,
                measured=form.cleaned_data.get("measured"),
                second=form.cleaned_data.get("second"),
                note=form.cleaned_data["note"],
                picture=picture,
            )
            return redirect(_next_open(commission, number))
        except PictureRefused as refused:
            form.add_error("camera", refused.words)
        except Refused as refused:
            if picture:
                discard(picture=picture)
            missing = refused.missing
    rows = queries.standings(sheet=queries.sheet_of(commission=commission))
    lies = line.part == CENTRE or number == IDENTITY
    page = {
        "commission": commission,
        "line": line,
        "form": form,
        "missing": missing,
        "lie": orientation(commission=commission) if lies else None,
        "standing": rows[number - 1],
        "drawing": _drawing(commission, number),
        "counts": queries.tallies(commission=commission) if number in COUNTED else [],
        "reopens": f"{REOPENED_BY_A_FIX[0]} to {REOPENED_BY_A_FIX[-1]}",
    }
    return render(request, "bench/check_line.html", page, status=409 if missing else 200)


CLOSED, WEIGHED = 6, IDENTITY
COUNTED = (GAPS, 17)


def _known(commission, number: int) -> dict:
    """What the house knows already and nobody types again: the last weight of the finished ring."""
    row = queries.latest_weight(commission=commission, kind="ring") if number == WEIGHED else None
    return {"measured": f"{row.net_mg / 1000:.2f}"} if row else {}


def _drawing(commission, number: int):
    """The drawing that a line is checked against."""
    if number == CLOSED:
        return drawing.closing_drawing(commission=commission)
    return drawing.for_phone(commission=commission) if number in (GAPS, GAPS + 1) else ""


def _next_open(commission, number: int) -> str:
    rows = queries.standings(sheet=queries.sheet_of(commission=commission))
    following = next((row for row in rows if row.line.number > number and row.answer is None), None)
    if following:
        return reverse("bench:check-line", args=[commission.reference, following.line.number])
    return reverse("bench:check", args=[commission.reference])


@require_POST
@staff()
def pass_check(request, reference):
    """Pass the sheet: the ring leaves the bench."""
    commission = job_or_404(request, reference)
    try:
        actions.pass_check(
            commission=commission, person=request.user, looked_again=bool(request.POST.get("looked_again"))
        )
    except Refused as refused:
        commission.refresh_from_db(fields=["stage"])
        return render(
            request, "bench/check.html", _page(request, commission, missing=refused.missing), status=409
        )
    return redirect("bench:jobs")
