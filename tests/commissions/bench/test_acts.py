"""Acts from a phone happen exactly once, whatever the line does."""

import datetime
import random
import uuid

import pytest

from commissions.bench import actions, queries
from commissions.bench.actions.acts import believable
from commissions.bench.models import Act, Photo, Problem, Step, StoneCount, TimeEntry, Weighing
from commissions.record.errors import Refused
from studio import clock
from studio.pictures.errors import PictureRefused
from studio.pictures.models import Picture
from tests.commissions.bench.conftest import perform, picture_file


def test_the_same_id_twice_is_one_act_and_the_same_answer(job, jeweller):
    key = uuid.uuid4()
    first = perform(job, jeweller, "weigh", key=key, what="model", gross_mg=287)
    again = perform(job, jeweller, "weigh", key=key, what="model", gross_mg=287)
    assert (again.pk, again.said) == (first.pk, "Model: 0.29 g kept.")
    assert Weighing.objects.count() == 1


def test_a_page_sent_twice_with_other_figures_is_no_repeat(job, jeweller):
    key = uuid.uuid4()
    perform(job, jeweller, "weigh", key=key, what="model", gross_mg=287)
    with pytest.raises(Refused, match="sent before"):
        perform(job, jeweller, "weigh", key=key, what="model", gross_mg=290)
    assert Weighing.objects.get().net_mg == 287


def test_a_refused_act_can_be_sent_again_under_its_id(job, jeweller):
    step = queries.current_step(commission=job)
    problem = actions.report_problem(commission=job, step=step, words="Seat too deep", person=jeweller)
    key = uuid.uuid4()
    with pytest.raises(Refused, match="Seat too deep"):
        perform(job, jeweller, "done", key=key, step=step.pk)
    assert Act.objects.count() == 0
    actions.answer_problem(problem=problem, answer="Raised", person=jeweller)
    assert perform(job, jeweller, "done", key=key, step=step.pk).said.startswith("Done: Model drawn")


def test_a_step_is_finished_as_it_was_seen_and_never_the_one_after(job, jeweller):
    seen = queries.current_step(commission=job)
    perform(job, jeweller, "done", step=seen.pk)
    with pytest.raises(Refused, match="in the meantime"):
        perform(job, jeweller, "done", step=seen.pk)
    assert Step.objects.filter(state="done").count() == 1


def test_a_repeated_photo_leaves_no_second_picture(job, jeweller, stores):
    key = uuid.uuid4()
    perform(job, jeweller, "photo", key=key, upload=picture_file())
    perform(job, jeweller, "photo", key=key, upload=picture_file())
    assert (Photo.objects.count(), Picture.objects.count()) == (1, 1)
    assert Photo.objects.get().audience == "internal"


def test_a_file_that_is_no_photo_leaves_nothing(job, jeweller):
    body = picture_file()
    body.name = "ring.exe"
    with pytest.raises(PictureRefused):
        perform(job, jeweller, "photo", upload=body)
    assert (Act.objects.count(), Picture.objects.count()) == (0, 0)


def test_the_phones_clock_counts_where_it_can_be_true(job, jeweller):
    hour_ago = clock.now() - datetime.timedelta(hours=1)
    perform(job, jeweller, "weigh", what="model", gross_mg=287, claimed_at=hour_ago)
    assert Weighing.objects.get().at == hour_ago
    assert Weighing.objects.get().noted_at > hour_ago
    for wrong in (clock.now() + datetime.timedelta(days=1), clock.now() - datetime.timedelta(days=400)):
        assert abs(believable(claimed=wrong) - clock.now()) < datetime.timedelta(seconds=5)


def test_five_hundred_acts_of_three_phones_in_any_order_with_repeats_are_each_done_once(
    job, jeweller, setter, owner
):
    """Cuts are played by sending an act again after its answer was lost; order and repeats are drawn by lot."""
    lot = random.Random(20260915)
    people = [jeweller, setter, owner]
    acts = []
    for number in range(500):
        kind = lot.choice(["weigh", "weigh", "count", "problem"])
        details = {
            "weigh": {"what": "filings", "gross_mg": 1000 + number, "sure": True},
            "count": {"issued": 1000 + number, "set": number, "returned": 0, "broken": 0, "lost": 0},
            "problem": {"words": f"Number {number}"},
        }[kind]
        acts.append((uuid.UUID(int=lot.getrandbits(128), version=4), people[number % 3], kind, details))
    sent = acts + lot.choices(acts, k=300)
    lot.shuffle(sent)
    for key, person, kind, details in sent:
        perform(job, person, kind, key=key, **details)
    assert Act.objects.count() == 500
    assert sorted(Weighing.objects.values_list("net_mg", flat=True)) == sorted(
        details["gross_mg"] for _key, _person, kind, details in acts if kind == "weigh"
    )
    assert sorted(StoneCount.objects.values_list("issued", flat=True)) == sorted(
        details["issued"] for _key, _person, kind, details in acts if kind == "count"
    )
    assert sorted(Problem.objects.values_list("words", flat=True)) == sorted(
        details["words"] for _key, _person, kind, details in acts if kind == "problem"
    )


def test_an_implausible_weight_is_asked_about_once(job, jeweller):
    perform(job, jeweller, "weigh", what="mount", gross_mg=4310)
    with pytest.raises(Refused, match=r"far from the 4\.31 g"):
        perform(job, jeweller, "weigh", what="mount", gross_mg=43_100)
    perform(job, jeweller, "weigh", what="mount", gross_mg=43_100, sure=True)
    assert queries.latest_weight(commission=job, kind="mount").net_mg == 43_100


def test_tare_is_taken_off_and_must_be_less(job, jeweller):
    perform(job, jeweller, "weigh", what="mount", gross_mg=14_310, tare_mg=10_000)
    assert Weighing.objects.get().net_mg == 4310
    with pytest.raises(Refused, match="more than the tare"):
        perform(job, jeweller, "weigh", what="mount", gross_mg=10_000, tare_mg=10_000)


@pytest.mark.parametrize("kind", ["weigh", "count", "photo", "done", "time-on", "time-off"])
def test_undo_within_ten_seconds_takes_back_what_can_be(kind, job, jeweller):
    step = queries.current_step(commission=job)
    if kind == "time-off":
        perform(job, jeweller, "time-on")
    details = {
        "weigh": {"what": "mount", "gross_mg": 4310},
        "count": {"issued": 20, "set": 18, "returned": 1, "broken": 1, "lost": 0},
        "done": {"step": step.pk},
    }.get(kind, {})
    act = perform(job, jeweller, kind, upload=picture_file() if kind == "photo" else None, **details)
    actions.undo(act=act, person=jeweller)
    assert queries.latest_weight(commission=job, kind="mount") is None
    assert queries.latest_count(commission=job) is None
    assert not queries.photos(commission=job).exists()
    assert queries.current_step(commission=job) == step
    assert bool(queries.running_clock(person=jeweller)) == (kind == "time-off")
    with pytest.raises(Refused):
        actions.undo(act=Act.objects.get(pk=act.pk), person=jeweller)


def test_undo_is_refused_when_it_is_late_or_anothers(job, jeweller, owner):
    act = perform(job, jeweller, "weigh", what="mount", gross_mg=4310)
    with pytest.raises(Refused):
        actions.undo(act=act, person=owner)
    act.received_at -= datetime.timedelta(seconds=20)
    with pytest.raises(Refused, match="Too late"):
        actions.undo(act=act, person=jeweller)


def test_time_runs_on_one_job_at_a_time(job, jeweller, delphine, owner):
    from commissions.record.actions import open_commission

    other = open_commission(client=delphine, title="Oval", currency="GBP", person=owner)
    perform(job, jeweller, "time-on")
    perform(other, jeweller, "time-on")
    first, second = TimeEntry.objects.order_by("id")
    assert first.ended_at == second.started_at
    assert queries.running_clock(person=jeweller).commission == other


def test_time_is_put_right_with_a_reason_and_never_overlaps(job, jeweller):
    now = clock.now()
    hours = [now - datetime.timedelta(hours=h) for h in (9, 8, 7, 1)]
    early = TimeEntry.objects.create(commission=job, person=jeweller, started_at=hours[0], ended_at=hours[1])
    late = TimeEntry.objects.create(commission=job, person=jeweller, started_at=hours[2], ended_at=hours[3])
    with pytest.raises(Refused, match="overlaps"):
        actions.edit_time(entry=late, started_at=hours[0], ended_at=hours[3], reason="x", person=jeweller)
    with pytest.raises(Refused, match="Say why"):
        actions.edit_time(entry=late, started_at=hours[2], ended_at=hours[3], reason=" ", person=jeweller)
    actions.edit_time(
        entry=late, started_at=hours[1], ended_at=hours[3], reason="Began earlier", person=jeweller
    )
    late.refresh_from_db()
    assert late.is_long and not early.is_long
    assert late.edits.get().started_before == hours[2]
