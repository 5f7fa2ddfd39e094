"""A ring on the bench."""

import io
import threading
import uuid
from unittest import mock

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.core.handlers.wsgi import WSGIHandler
from PIL import Image

from commissions.bench import actions, gates
from commissions.bench.models import StepTemplate
from commissions.record.actions import advance
from commissions.record.models import Commission
from commissions.record.route import Stage
from commissions.sourcing.models import CheckIn, Stone
from studio import clock


@pytest.fixture(autouse=True)
def no_second_factor(settings):
    """Signing in is another room's test."""
    settings.SECOND_FACTOR_REQUIRED = False


def _through_the_door(*, commission, to, person, override_reason):
    return advance(commission=commission, to=to, door="money.start_work", person=person)


@pytest.fixture(autouse=True)
def agreed(monkeypatch):
    """What was agreed stands: another room's test."""
    monkeypatch.setattr(gates, "agreement_stands", lambda *, commission: [])


def to_the_bench(commission, person, template="Cast halo ring"):
    """Bring a commission from Agreement onto the bench, its evidence taken as given."""
    actions.ensure_templates()
    Commission.objects.filter(pk=commission.pk).update(stage=Stage.AGREEMENT)
    commission.refresh_from_db()
    laid = StepTemplate.objects.get(name=template)
    with mock.patch("commissions.bench.actions.steps.start_work", _through_the_door):
        actions.begin(commission=commission, template=laid, person=person)
    return commission


@pytest.fixture
def job(commission, owner):
    """Joachim's ring at its first step."""
    return to_the_bench(commission, owner)


def picture_file(name="ring.jpg", colour="#b9a26a", size=(400, 300)):
    """A small photograph as a form sends it."""
    out = io.BytesIO()
    Image.new("RGB", size, colour).save(out, "JPEG")
    return SimpleUploadedFile(name, out.getvalue(), content_type="image/jpeg")


def perform(job, person, kind, *, key=None, upload=None, claimed_at=None, **details):
    """One act as a phone sends it."""
    return actions.perform(
        key=key or uuid.uuid4(),
        kind=kind,
        commission=job,
        person=person,
        details=details,
        upload=upload,
        claimed_at=claimed_at,
    )


def with_stone(job, *, within_tolerance=True, inscription_fits=True):
    """The centre of the ring, chosen and checked in."""
    measures = {"length_hmm": 651, "width_hmm": 651, "depth_hmm": 402, "weight_mct": 1050}
    outline = {"cut": "round", "diameter_mm": 6.51}
    stone = Stone.objects.create(
        commission=job,
        name="Round 6.51",
        origin="natural",
        outline=outline,
        chosen_at=clock.now(),
        made_at=clock.now(),
        state="checked-in",
        **measures,
    )
    CheckIn.objects.create(
        stone=stone,
        outline=outline,
        by_words="Mabli",
        at=clock.now(),
        within_tolerance=within_tolerance,
        inscription_fits=inscription_fits,
        **measures,
    )
    return stone


def with_metal(job, person, mg=9800):
    """Metal weighed out to the job."""
    lot = actions.open_lot(name=f"Lot for {job.reference}", alloy="18 ct yellow", mg=20_000, person=person)
    actions.move_metal(lot=lot, kind="issue", mg=mg, commission=job, person=person)
    return lot


def work_up_to(job, person, stage):
    """Finish steps, with the evidence each gate asks for, until the ring stands at *stage*."""
    from commissions.bench import queries

    evidence = {"casting": ("model", 287), "setting": ("mount", 4310), "marking": ("ring", 4580)}
    if stage != "model":
        with_stone(job)
    while job.stage != stage:
        step = queries.current_step(commission=job)
        following = queries.next_step(commission=job, after=step)
        if following.stage in evidence and following.stage != step.stage:
            kind, mg = evidence[following.stage]
            actions.weigh(
                commission=job, step=step, kind=kind, gross_mg=mg, tare_mg=0, scale="", person=person
            )
        if following.stage == "marking" and step.stage != "marking":
            with_metal(job, person)
        if following.stage == "finishing" and step.stage != "finishing":
            actions.count_stones(
                commission=job, step=step, issued=20, set=18, returned=1, broken=1, lost=0, person=person
            )
        actions.finish_step(commission=job, step=step, person=person)
    return job


@pytest.fixture
def one_at_a_time(monkeypatch):
    """
    Requests answered one after the other.

    The tests' SQLite lies in memory, where all threads share one connection: one's rollback would take back
    what another was told is kept. Real houses give each thread its own (tests/served walks those).
    """
    turn, answered = threading.Lock(), WSGIHandler.get_response

    def in_turn(handler, request):
        with turn:
            return answered(handler, request)

    monkeypatch.setattr(WSGIHandler, "get_response", in_turn)
