"""The client's pages."""

from __future__ import annotations

from contextlib import suppress
from functools import wraps

from django.http import Http404
from django.shortcuts import redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from commissions.bench.models import Audience
from commissions.bench.queries import photo_of, photos_at_hold, released_photos
from commissions.intake.queries import briefs_of
from commissions.pages.client import drawings, queries
from commissions.pages.client.forms import NewMessage, Reply
from commissions.pages.papers import shelves
from commissions.record import approving, holdpoints
from commissions.record import queries as record
from commissions.record.actions import mark_seen, post_message
from commissions.record.errors import Overtaken
from commissions.record.models import Message
from commissions.record.route import ROUTE, Stage
from studio import clock
from studio.people import throttle
from studio.people.access import client, stepped_up
from studio.pictures import serving

MESSAGES_PER_WINDOW = 30
HOLDS_SHOWN = ROUTE[ROUTE.index(Stage.STONES) : ROUTE.index(Stage.FINISHING)]
"""Stages in which the ring's page offers the choice of hold points: from the agreed direction to the setting."""


def own(view):
    """Give the view the client's own commission; anybody else's, and one that does not exist, is 404."""

    @client
    @wraps(view)
    def inside(request, reference, *args, **kwargs):
        commission = record.commission_of(access=request.client_access, reference=reference)
        if commission is None:
            raise Http404
        request.client_commission = commission
        return view(request, commission, *args, **kwargs)

    return inside


@client
@require_GET
def home(request):
    """A client's commissions and briefs; straight to the one where there is only one."""
    commissions = list(record.commissions_of(access=request.client_access))
    known = {commission.reference for commission in commissions}
    briefs = [brief for brief in briefs_of(access=request.client_access) if brief.reference not in known]
    if len(commissions) == 1 and not briefs:
        return redirect("pages:client-ring", reference=commissions[0].reference)
    return render(request, "client/home.html", {"commissions": commissions, "briefs": briefs})


@own
@require_GET
def ring(request, commission):
    """The dial, whose turn it is, the next act and its day, the last photograph."""
    holds = [row for row in holdpoints.standings(commission=commission) if row.wanted and not row.go]
    return render(
        request,
        "client/ring.html",
        {
            "commission": commission,
            "standing": queries.client_standing(commission=commission),
            "stages": queries.stage_rows(commission=commission),
            "photo": released_photos(commission=commission).last(),
            "drawing": drawings.for_dial(commission=commission),
            "holds": holds,
            "holds_open": commission.stage in HOLDS_SHOWN,
        },
    )


@own
@require_GET
def progress(request, commission):
    """The photographs that were released, in the order of the work."""
    return render(
        request,
        "client/progress.html",
        {
            "commission": commission,
            "photos": released_photos(commission=commission),
            "standing": queries.client_standing(commission=commission),
        },
    )


@own
@require_GET
def photo(request, commission, pk: int, size: int):
    """One released photograph."""
    row = photo_of(commission=commission, pk=pk)
    if row is None or row.audience != Audience.CLIENT:
        raise Http404
    return serving.answer(request, row.picture, size)


@own
@require_GET
def papers(request, commission):
    """Every paper of this commission, signed, paid and handed over."""
    return render(
        request,
        "client/papers.html",
        {"commission": commission, "shelves": shelves(commission=commission, studio=False)},
    )


@own
@require_http_methods(["GET", "POST"])
def messages(request, commission):
    """The thread, and a new message."""
    form = NewMessage(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        if throttle.too_many(what="message", who=str(request.client_access.pk), limit=MESSAGES_PER_WINDOW):
            return render(request, "intake/slow_down.html", status=429)
        post_message(commission=commission, body=form.cleaned_data["body"], from_client=True)
        return redirect(reverse("pages:client-messages", args=[commission.reference]) + "#new")
    thread = list(Message.objects.filter(commission=commission).select_related("person").order_by("id"))
    mark_seen(commission=commission, from_client=False)
    return render(request, "client/messages.html", {"commission": commission, "thread": thread, "form": form})


@own
@require_http_methods(["GET", "POST"])
def answer(request, commission, pk: int):
    """Approve, ask, or not yet; only approving needs the passphrase, for only that binds."""
    question = approving.approval_asked(commission=commission, pk=pk)
    if question is None:
        return redirect("pages:client-ring", reference=commission.reference)
    point = holdpoints.point_of(question)
    form = Reply(
        request.POST if request.method == "POST" else None,
        initial={"words": request.session.get(f"words-{question.pk}", "")},
    )
    if request.method == "POST" and form.is_valid():
        return _reply(request, commission, question, form.cleaned_data)
    return render(
        request,
        "client/answer.html",
        {
            "commission": commission,
            "question": question,
            "form": form,
            "stepped_up": is_stepped_up(request),
            "point": point,
            "photos": photos_at_hold(commission=commission)
            if point
            else released_photos(commission=commission).order_by("-id")[:1],
        },
    )


def is_stepped_up(request) -> bool:
    """Whether this client has just given their passphrase."""
    until = request.client_session.stepped_up_until
    return until is not None and until > clock.now()


def _reply(request, commission, question, said):
    def act(request):
        # Answered on another device in the meantime: the page of the ring shows how it stands.
        with suppress(Overtaken):
            approving.reply(
                commission=commission,
                question=question,
                answer=said["act"],
                words=said["words"],
                access=request.client_access,
            )
        return redirect("pages:client-ring", reference=commission.reference)

    if said["act"] != "approve":
        return act(request)
    request.session[f"words-{question.pk}"] = said["words"]  # still there after the passphrase
    return stepped_up(act)(request)
