"""The check sheet on the phone."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.bench import actions, gates, queries
from commissions.bench.forms import CheckLineForm
from commissions.bench.sheet import BY_NUMBER, CENTRE, IDENTITY, REOPENED_BY_A_FIX
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
    line = BY_NUMBER[number]
    form = CheckLineForm(request.POST or None, request.FILES or None, line=line)
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
        "reopens": f"{REOPENED_BY_A_FIX[0]} to {REOPENED_BY_A_FIX[-1]}",
    }
    return render(request, "bench/check_line.html", page, status=409 if missing else 200)


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
        actions.pass_check(commission=commission, person=request.user)
    except Refused as refused:
        commission.refresh_from_db(fields=["stage"])
        return render(
            request, "bench/check.html", _page(request, commission, missing=refused.missing), status=409
        )
    return redirect("bench:jobs")
