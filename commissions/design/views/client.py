"""The design as the client sees it."""

from __future__ import annotations

from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissions.design import actions, comments, comparing, drawings, forms, queries, terms
from commissions.design.models import AnswerKind, Status
from commissions.design.views.common import own_commission
from commissions.record import holdpoints
from commissions.record.errors import Refused
from studio.people.access import client as client_page


@client_page
@require_http_methods(["GET", "POST"])
def yours(request, reference: str):
    """The design as the client sees it: agree, ask, or not yet."""
    commission = own_commission(request, reference)
    revision = queries.newest(commission=commission)
    waits = revision is not None and revision.status == Status.SENT
    chosen = [row.point for row in holdpoints.standings(commission=commission) if row.wanted]
    form = forms.ClientAnswer(request.POST or None, initial={"holds": chosen})
    if request.method == "POST" and form.is_valid() and revision is not None:
        kind = request.POST.get("kind", "")
        try:
            if kind not in AnswerKind.values or request.POST.get("letter") != revision.letter:
                raise Refused("A newer revision has been sent. Please look at that one.")
            actions.answer_revision(
                revision=revision,
                kind=kind,
                words=form.cleaned_data["words"],
                by_words=commission.client.full_name,
                access=request.client_access,
                hold_points=form.cleaned_data["holds"],
            )
        except Refused as refusal:
            form.add_error("words" if kind != AnswerKind.AGREE else None, str(refusal))
        else:
            return redirect("design-yours:design", reference=reference)
    context = {"commission": commission, "revision": revision, "waits": waits, "form": form}
    if revision is not None:
        context |= {
            "svg": drawings.as_svg(drawings.for_client(revision)),
            "front": drawings.as_svg(drawings.front_for_client(revision)),
            "facts": queries.client_facts_of(revision),
            "answers": revision.answers.all(),
            "pictures": queries.renders_of(revision=revision),
            "comparison": comparing.compare(revision.parent, revision) if revision.parent else None,
            "included": terms.included(commission=commission),
            "talks": comments.open_talks(commission=commission),
            "can_comment": comments.can_comment(commission=commission),
        }
    return render(request, "design/yours.html", context)
