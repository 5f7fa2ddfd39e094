"""Another date: what the bench reckons and what is proposed, and the page on which the client answers."""

from __future__ import annotations

import datetime

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils import formats
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from commissions.bench import actions, capacity, queries
from commissions.bench.forms.dates import CancelForm, DateNoticeForm
from commissions.bench.models import DateReply
from commissions.bench.views.common import commission_or_404
from commissions.money.cancellation import statement
from commissions.money.views.common import own
from commissions.record.errors import Missing, Refused
from commissions.record.route import State
from studio import clock
from studio.people.access import staff, stepped_up

AIR_DAYS = 3
"""Working days that a proposal adds to what is reckoned, so that it is not the last one."""
ANSWER_DAYS = 5
METHOD = "passphrase after a one-time code"


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def date(request, reference):
    """How a ring stands against its date; the owner proposes another one."""
    commission = commission_or_404(reference)
    slack = capacity.slack_of(commission=commission)
    form = DateNoticeForm(request.POST or None, initial=_proposal(slack))
    missing = []
    if request.method == "POST" and not request.user.is_owner:
        missing = [Missing(words="The owner sends a new date to the client.")]
    elif request.method == "POST" and form.is_valid():
        try:
            actions.propose_date(commission=commission, person=request.user, **form.cleaned_data)
        except Refused as refused:
            missing = refused.missing
        else:
            messages.success(request, "The notice is on the client's page, and a letter tells of it.")
            return redirect("bench:date", reference)
    page = {
        "commission": commission,
        "slack": slack,
        "form": form,
        "missing": missing,
        "notices": _told(commission),
        "open": queries.open_notice(commission=commission),
        "wish": queries.wishes_to_cancel(commission=commission),
        "is_open": commission.state == State.OPEN,
        "sending_days": capacity.SENDING_DAYS,
    }
    return render(request, "bench/date.html", page, status=409 if missing else 422 if form.errors else 200)


def _proposal(slack) -> dict:
    answer_by = clock.add_working_days(clock.today(), ANSWER_DAYS)
    if slack is None:
        return {"answer_by": _typed(answer_by)}
    after = clock.add_working_days(slack.ready_on, AIR_DAYS) if slack.late_by else None
    return {"after": _typed(after) if after else "", "answer_by": _typed(answer_by)}


def _typed(day: datetime.date) -> str:
    return f"{day.day} {day:%B} {day.year}"


def _told(commission) -> list[dict]:
    return [
        {"notice": row, "answers": list(row.answers.all()), "standing": queries.standing_of(notice=row)}
        for row in queries.date_notices(commission=commission)
    ]


@require_POST
@staff("owner")
def take_back_date(request, reference):
    """Take the notice back that still waits."""
    commission = commission_or_404(reference)
    notice = queries.open_notice(commission=commission)
    if notice is None:
        raise Http404
    try:
        actions.take_back_date(notice=notice, person=request.user)
        messages.success(request, "The notice is taken back. The date that was promised stands.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("bench:date", reference)


def _yours(commission):
    notice = queries.date_notices(commission=commission).first()
    if notice is None or queries.standing_of(notice=notice) == DateReply.TAKEN_BACK:
        raise Http404
    return notice


@own
@require_http_methods(["GET", "POST"])
def your_date(request, commission):
    """The notice as the client reads it; accepting needs the passphrase, for it binds."""
    notice = _yours(commission)
    standing = queries.standing_of(notice=notice)
    button = _("Accept %(day)s as the new date") % {"day": _day(notice.after)}
    if request.method == "POST":
        return _accept(request, commission, notice, button)
    page = {"commission": commission, "notice": notice, "standing": standing, "button": button}
    page["answer"] = max(notice.answers.all(), key=lambda row: row.pk, default=None)
    return render(request, "bench/your_date.html", page)


def _day(day: datetime.date) -> str:
    return formats.date_format(day, "j F Y")


def _accept(request, commission, notice, button):
    def act(request):
        try:
            actions.accept_date(
                notice=notice,
                consent=button,
                method=METHOD,
                by_words=commission.client.full_name,
                access=request.client_access,
            )
        except Refused:
            messages.error(request, _("This was answered in the meantime. Please look at it again."))
        return redirect("bench-yours:date", commission.reference)

    # The notice that was read is the one that is accepted, even if another one was sent meanwhile.
    if request.POST.get("notice") != str(notice.pk):
        return redirect("bench-yours:date", commission.reference)
    return stepped_up(act)(request)


@own
@stepped_up
@require_http_methods(["GET", "POST"])
def your_cancelling(request, commission):
    """What a cancellation would mean as things stand; asking for it cancels nothing by itself."""
    notice = _yours(commission)
    if queries.standing_of(notice=notice) or commission.state != State.OPEN:
        return redirect("bench-yours:date", commission.reference)
    form = CancelForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.wish_to_cancel(
                notice=notice,
                words=form.cleaned_data["words"],
                consent=_("I wish to cancel"),
                method=METHOD,
                by_words=commission.client.full_name,
                access=request.client_access,
            )
        except Refused:
            messages.error(request, _("This was answered in the meantime. Please look at it again."))
        return redirect("bench-yours:date", commission.reference)
    page = {
        "commission": commission,
        "notice": notice,
        "form": form,
        "statement": statement(commission=commission),
    }
    return render(request, "bench/your_cancelling.html", page)
