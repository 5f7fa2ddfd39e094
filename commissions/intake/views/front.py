"""The studio's front page, and the beginning of a brief."""

from __future__ import annotations

from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from commissions.intake import actions, queries
from commissions.intake.forms import QUESTIONS
from commissions.intake.views.common import KEY, present_draft, unhurried, with_draft


@require_GET
def front(request):
    """What the studio makes, and the three ways in."""
    return render(request, "intake/front.html", {"count": len(QUESTIONS)})


@require_GET
def brief(request):
    """What will be asked, how long it takes, and where this browser left off."""
    draft = present_draft(request)
    open_slugs = queries.missing(brief=draft) if draft else [question.slug for question in QUESTIONS]
    rows = [
        {"question": question, "number": number, "done": question.slug not in open_slugs}
        for number, question in enumerate(QUESTIONS, 1)
    ]
    context = {
        "draft": draft,
        "rows": rows,
        "next": open_slugs[0] if open_slugs else "",
        "count": len(QUESTIONS),
    }
    return render(request, "intake/brief.html", context)


@require_POST
@unhurried
@with_draft
def forget(request, brief):
    """Throw the draft away."""
    actions.forget_draft(brief=brief)
    request.session.pop(KEY, None)
    return redirect("intake:brief")
