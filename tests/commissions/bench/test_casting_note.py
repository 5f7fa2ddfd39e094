"""Before a model is cast the phone says that nobody laid it over the stone; advice, not a gate."""

from __future__ import annotations

from commissions.bench.models import Step, StepState
from commissions.design.actions import answer_revision, check_model, draft_revision, send_revision
from commissions.pages.demo.shapes import ellipse
from commissions.record.models import Commission
from commissions.record.route import Stage
from tests.commissions.bench.conftest import to_the_bench
from tests.commissions.design.conftest import standard

NOTE = "No model was laid over the stone for revision A"


def agreed_revision(commission, owner):
    row = draft_revision(commission=commission, parameters=standard(), person=owner)
    send_revision(revision=row, person=owner)
    answer_revision(revision=row, kind="agree", words="", by_words="Joachim")
    return row


def test_the_note_stands_at_casting_until_a_model_went_well(client, commission, owner, jeweller):
    revision = agreed_revision(commission, owner)
    job = to_the_bench(commission, owner)
    client.force_login(jeweller)
    way = f"/studio/bench/{job.reference}/"
    assert NOTE not in client.get(way).content.decode()
    Step.objects.filter(commission=job, stage=Stage.MODEL).update(state=StepState.DONE)
    Commission.objects.filter(pk=job.pk).update(stage=Stage.CASTING)
    assert NOTE in client.get(way).content.decode()
    ring = ellipse(6.71, 6.71)
    content = "x,y\n" + "\n".join(f"{x:.5f},{y:.5f}" for x, y in [*ring, ring[0]])
    check_model(
        revision=revision,
        content=content.encode(),
        name="halo.csv",
        girdle=revision.parameters["centre"]["outline"],
        girdle_words="the seat",
        person=owner,
    )
    assert NOTE not in client.get(way).content.decode()
