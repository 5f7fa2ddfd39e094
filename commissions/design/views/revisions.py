"""The drawing table: every revision of a design, sending one, going back."""

from __future__ import annotations

from django.contrib import messages
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from commissions.design import actions, comments, drawings, forms, queries, terms
from commissions.design.views.common import commission_of
from commissions.record.errors import Refused
from commissions.record.route import Stage
from studio.people.access import staff


@staff("owner", "jeweller")
@require_GET
def design(request, reference: str):
    """Every revision of a design, the newest first, with the client's answers."""
    commission = commission_of(reference)
    revisions = list(queries.revisions(commission=commission))[::-1]
    files = queries.file_counts(commission=commission)
    checks = queries.newest_checks(commission=commission)
    shown = [
        {
            "revision": row,
            "svg": drawings.as_svg(drawings.top(row)),
            "facts": queries.facts_of(row),
            "files": files.get(row.pk, 0),
            "check": checks.get(row.pk),
        }
        for row in revisions
    ]
    return render(
        request,
        "design/design.html",
        {
            "commission": commission,
            "shown": shown,
            "can_draft": commission.stage in (Stage.DESIGN, Stage.STONES),
            "can_go_back": commission.stage == Stage.AGREEMENT,
            "reason_form": forms.Reason(),
            "included": terms.included(commission=commission),
            "talks": comments.open_talks(commission=commission),
            "several": sum(row.sent_at is not None for row in revisions) > 1,
        },
    )


@staff("owner")
@require_POST
def start_revision(request, reference: str):
    """Go back from Agreement to Design, with a reason."""
    commission = commission_of(reference)
    form = forms.Reason(request.POST)
    try:
        actions.start_revision(
            commission=commission,
            person=request.user,
            reason=form.data.get("reason", "") if form.is_valid() else "",
        )
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("design:design", reference=reference)
