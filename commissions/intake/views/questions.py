"""One question a page."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.html import format_html
from django.views.decorators.http import require_http_methods, require_POST

from commissions.intake import actions, queries
from commissions.intake.forms import QUESTIONS
from commissions.intake.views.common import draft_or_new, present_draft, unhurried
from studio import clock

SLUGS = [question.slug for question in QUESTIONS]


def _asked(slug: str):
    question = queries.question(slug=slug)
    if question is None or slug == "pictures":
        raise Http404
    return question


def around(*, slug: str, checking: bool) -> dict:
    """Where a question stands: its number, the way back and the way on."""
    number = SLUGS.index(slug)
    check = reverse("intake:check")
    back = reverse("intake:question", args=[SLUGS[number - 1]]) if number else reverse("intake:brief")
    onward = reverse("intake:question", args=[SLUGS[number + 1]]) if number + 1 < len(SLUGS) else check
    return {
        "number": number + 1,
        "count": len(SLUGS),
        "back": check if checking else back,
        "onward": check if checking else onward,
        "checking": checking,
    }


@require_http_methods(["GET", "POST"])
@unhurried
def question(request, slug: str):
    """Ask one question; a valid answer is kept at once and leads to the next."""
    kind, draft = _asked(slug), present_draft(request)
    where = around(slug=slug, checking="check" in request.GET)
    form = kind(
        request.POST if request.method == "POST" else None,
        brief=draft,
        initial=draft.answer(slug) if draft else None,
    )
    if request.method == "POST" and form.is_valid():
        # A box that no person sees was filled in: go on as if all were well, and keep nothing.
        if not form.cleaned_data["website"]:
            actions.answer(brief=draft_or_new(request), slug=slug, given=form.answer())
        return redirect(where["onward"])
    note = "" if where["checking"] else queries.note_before(brief=draft, slug=slug)
    return render(
        request,
        "intake/question.html",
        {
            "form": form,
            "question": kind,
            "draft": draft,
            "note": note,
            "read": _read(kind, draft),
            **where,
        },
    )


def _read(kind, draft) -> str:
    if draft is None or kind.slug not in draft.answers:
        return ""
    return kind.note(draft.answer(kind.slug), today=clock.today())


@require_POST
@unhurried
def hint(request, slug: str):
    """How what is in the boxes would be read: asked by the page while somebody types, kept nowhere."""
    kind = _asked(slug)
    form = kind(request.POST, brief=present_draft(request))
    words = kind.note(form.answer(), today=clock.today()) if form.is_valid() else ""
    return HttpResponse(format_html('<p class="note">{}</p>', words) if words else "")
