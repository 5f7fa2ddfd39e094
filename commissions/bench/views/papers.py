"""Papers of the bench: the job card, and the line of hours."""

from __future__ import annotations

import segno
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_GET

from commissions.bench import capacity, drawing, gates, queries
from commissions.bench.defaults import FINAL_SHOTS
from commissions.bench.evidence import alloy_of
from commissions.bench.sheet import LINES, line_for
from commissions.bench.views.common import commission_or_404
from commissions.design.queries import agreed, facts_of
from commissions.money.queries import approved_changes, fingerprint_now
from commissions.sourcing import queries as sourcing
from studio import papers
from studio.people.access import staff


@require_GET
@staff("owner", "jeweller")
def job_card(request, reference):
    """The card that travels with the ring; scanning it opens the job at the step it is at."""
    commission = commission_or_404(reference)
    address = request.build_absolute_uri(reverse("bench:job", args=[reference]))
    code = segno.make(address, error="m").svg_inline(scale=3, border=2, omitsize=False)
    revision = agreed(commission=commission)
    stone = sourcing.chosen(commission=commission)
    figures = queries.halo_figures(commission=commission)
    context = {
        "commission": commission,
        "reference": reference,
        "fingerprint": fingerprint_now(commission=commission),
        "void": [row.words for row in gates.agreement_stands(commission=commission)],
        "changes": approved_changes(commission=commission),
        "code": mark_safe(code),  # noqa: S308 - drawn by our own code from our own address
        "address": address,
        "revision": revision,
        "drawing": drawing.for_setter(commission=commission, scale=5),
        "alloy": alloy_of(commission=commission),
        "facts": facts_of(revision) if revision else [],
        "stone": stone,
        "check_in": sourcing.newest_check_in(stone=stone) if stone else None,
        "lie": sourcing.orientation(commission=commission, scale=6),
        "closing": drawing.closing_order(commission=commission),
        "closing_drawing": drawing.closing_drawing(commission=commission),
        "steps": queries.steps(commission=commission),
        "lines": [line_for(line.number, figures=figures) for line in LINES],
        "shots": FINAL_SHOTS,
    }
    try:
        paper = papers.make(template="print/job_card.html", context=context, request=request)
    except papers.PapersUnavailable as missing:
        return HttpResponse(str(missing), status=503, content_type="text/plain")
    return HttpResponse(
        paper.content,
        content_type="application/pdf",
        headers={
            "Content-Disposition": f'inline; filename="job-card-{reference}.pdf"',
            "X-Content-Type-Options": "nosniff",
        },
    )


@require_GET
@staff("owner", "jeweller")
def capacity_line(request):
    """Hours promised against hours there."""
    return render(
        request,
        "bench/capacity.html",
        {"weeks": capacity.weeks(), "slacks": capacity.slacks(), "approvals": capacity.approvals()},
    )
