"""Small stones: issued by the drawer's book, counted and weighed at the bench, and booked without typing twice."""

import re
import uuid

import pytest

from commissions.bench import actions, queries
from commissions.bench.gates import to_start
from commissions.bench.models import StoneCount, StoneTally
from commissions.design import computing
from commissions.design.models import Revision
from commissions.record.errors import Refused
from commissions.record.route import Stage
from commissions.sourcing.actions import move_lot, open_lot
from commissions.sourcing.models import LotMove
from commissions.sourcing.queries import balance
from tests.commissions.bench.conftest import perform, work_up_to

SIZES = {"1.30": 14, "1.10": 4}


@pytest.fixture
def sheet(monkeypatch):
    """The agreed halo: fourteen of 1.30 and four of 1.10 mm."""
    for place in ("commissions.bench.queries.stones.needed", "commissions.bench.queries.needed"):
        monkeypatch.setattr(place, lambda *, commission: dict(SIZES))


def lot(size, person, mct, count=100):
    return open_lot(
        name=f"{size} B",
        size_hmm=round(float(size) * 100),
        count=count,
        weight_mct=mct,
        origin="natural",
        person=person,
    )


@pytest.fixture
def large(owner):
    return lot("1.30", owner, 900)


@pytest.fixture
def small(owner):
    return lot("1.10", owner, 540)


def issue(row, job, person, count, mct):
    return move_lot(
        lot=row, kind="issue", count=count, weight_mct=mct, person=person, commission=job, holder="Ivo"
    )


@pytest.fixture
def issued(job, sheet, large, small, jeweller):
    """Fifteen and five at the ring, which stands at the last step of Setting."""
    issue(large, job, jeweller, 15, 135)
    issue(small, job, jeweller, 5, 27)
    work_up_to(job, jeweller, Stage.SETTING)
    while (
        queries.next_step(commission=job, after=queries.current_step(commission=job)).stage == Stage.SETTING
    ):
        actions.finish_step(commission=job, step=queries.current_step(commission=job), person=jeweller)
    return job


def line(row, **figures):
    return {
        "lot": row.pk,
        "set": 0,
        **dict.fromkeys(("returned", "returned_mct", "broken", "broken_mct", "lost"), 0),
        **figures,
    }


def missing(job):
    return [row.words for row in to_start(commission=job, stage=Stage.FINISHING)]


def finish(job, person):
    return actions.finish_step(commission=job, step=queries.current_step(commission=job), person=person)


def test_the_halo_of_the_design_says_what_is_needed(commission, owner):
    from commissions.design.actions import draft_revision

    parameters = computing.standard(
        centre={"cut": "round", "diameter_mm": 6.51},
        depth_mm=4.02,
        circumference_mm=54.0,
        metal="18ct white Pd",
    )
    assert queries.needed(commission=commission) is None
    revision = draft_revision(commission=commission, parameters=parameters, person=owner)
    Revision.objects.filter(pk=revision.pk).update(status="agreed")
    layout = revision.outputs["layout"]
    assert queries.needed(commission=commission) == layout["figures"]["counts"]
    assert sum(queries.needed(commission=commission).values()) == len(layout["stones"])


def test_setting_waits_for_the_stones_of_the_halo_size_by_size(job, sheet, large, jeweller):
    issue(large, job, jeweller, 12, 108)
    words = [row.words for row in to_start(commission=job, stage=Stage.SETTING)]
    assert (
        "Halo stones of 1.30 mm: 14 are needed and 12 are issued to this ring. Issue 2 more, by count and weight."
        in words
    )
    assert any(word.startswith("Halo stones of 1.10 mm: 4 are needed and 0 are issued") for word in words)
    issue(large, job, jeweller, 2, 18)
    assert not any("1.30" in row.words for row in to_start(commission=job, stage=Stage.SETTING))


def test_a_count_that_comes_out_even_is_booked_in_the_drawer_and_nothing_is_out(issued, large, small, setter):
    with pytest.raises(Refused, match="were issued and not counted"):
        finish(issued, setter)
    act = perform(
        issued,
        setter,
        "count",
        lines=[line(large, set=14, broken=1, broken_mct=6), line(small, set=4, returned=1, returned_mct=5)],
    )
    assert act.said == "Count kept. Every stone is accounted for."
    assert (StoneCount.objects.get().issued, StoneTally.objects.count()) == (20, 2)
    assert not LotMove.objects.filter(kind="set").exists()  # a count can still be taken back
    finish(issued, setter)
    assert issued.stage == Stage.FINISHING
    kinds = list(
        LotMove.objects.exclude(kind__in=["receive", "issue"])
        .order_by("lot__size_hmm", "id")
        .values_list("lot__size_hmm", "kind", "count", "weight_mct")
    )
    # 27 mct less 5 back; 135 mct less one stone of 9.
    assert kinds == [(110, "return", 1, 5), (110, "set", 4, 22), (130, "broken", 1, 9), (130, "set", 14, 126)]
    for row in (large, small):
        out = balance(lot=row, commission=issued).out
        assert (out.count, out.weight_mct) == (0, 0)
    assert actions.book_stones(commission=issued, person=setter) == 0


@pytest.mark.parametrize(
    ("figures", "words"),
    [
        ({"set": 14}, "1 of 15 issued stones are not accounted for"),
        ({"set": 14, "returned": 2, "returned_mct": 18}, "1 more were counted than were issued"),
        ({"set": 14, "returned": 1}, "weigh the 1 that came back"),
        ({"set": 14, "returned": 1, "returned_mct": 15}, "came back and weigh 0.015 ct, where 0.009 ct"),
        ({"set": 14, "broken": 1, "broken_mct": 20}, "weigh more than the stones did"),
        ({"set": 13, "returned": 2, "returned_mct": 18}, "13 are set, and the sheet has 14"),
    ],
)
def test_number_weight_and_sheet_are_each_told(figures, words, issued, large, small, setter):
    whole = line(small, set=4, returned=1, returned_mct=5)
    perform(issued, setter, "count", lines=[line(large, **figures), whole])
    (told,) = missing(issued)
    assert words in told


def test_what_breaks_asks_for_another_stone_until_it_is_there(issued, large, small, setter, jeweller):
    lines = [line(large, set=13, broken=2, broken_mct=10), line(small, set=4, lost=1)]
    perform(issued, setter, "count", lines=lines)
    (question,) = issued.questions.filter(key="bench.replace", answered_at__isnull=True)
    assert question.words == "Issue 1 × 1.30 mm to this ring, to replace what broke or was lost"
    assert queries.lacking(commission=issued) == {"1.30": 1}
    issue(large, issued, jeweller, 1, 9)
    assert queries.lacking(commission=issued) == {}
    assert any("1 of 16 issued stones are not accounted for" in words for words in missing(issued))
    perform(issued, setter, "count", lines=[line(large, set=14, broken=2, broken_mct=10), lines[1]])
    assert missing(issued) == []
    assert not issued.questions.filter(key="bench.replace", answered_at__isnull=True).exists()


def test_a_stone_that_breaks_after_it_was_booked_is_booked_with_its_replacement(
    issued, large, small, setter, jeweller
):
    whole = line(small, set=4, returned=1, returned_mct=5)
    perform(issued, setter, "count", lines=[line(large, set=14, returned=1, returned_mct=9), whole])
    finish(issued, setter)
    issue(large, issued, jeweller, 1, 9)
    assert any("not accounted for" in row.words for row in to_start(commission=issued, stage=Stage.CHECKING))
    perform(issued, setter, "count", lines=[line(large, set=14, returned=1, returned_mct=9, broken=1), whole])
    assert actions.book_stones(commission=issued, person=setter) == 1
    out = balance(lot=large, commission=issued).out
    assert (out.count, out.weight_mct) == (0, 0)


def test_a_lot_of_another_ring_is_refused_and_nothing_is_kept(issued, owner, setter):
    stranger = lot("1.50", owner, 1350)
    with pytest.raises(Refused, match="not issued to this ring"):
        perform(issued, setter, "count", lines=[line(stranger, set=1)])
    assert StoneCount.objects.count() == 0


def test_a_count_taken_back_takes_its_lots_along(issued, large, small, setter):
    lines = [line(large, set=14, returned=1, returned_mct=9), line(small, set=4, returned=1, returned_mct=5)]
    act = perform(issued, setter, "count", lines=lines)
    actions.undo(act=act, person=setter)
    assert queries.tallies(commission=issued) == []
    with pytest.raises(Refused, match="not counted"):
        finish(issued, setter)


def test_the_phone_counts_lot_by_lot_by_plain_form(client, issued, large, small, setter):
    client.force_login(setter)
    way = f"/studio/bench/{issued.reference}/"
    page = client.get(f"{way}count/").content.decode()
    assert "1.30 mm: 15 issued, 0.135 ct" in page and "1.10 mm: 5 issued, 0.027 ct" in page
    assert f'name="lots" value="{small.pk},{large.pk}"' in page
    typed = {
        "act_id": uuid.uuid4(),
        "lots": f"{small.pk},{large.pk}",
        f"set_{large.pk}": 14,
        f"returned_{large.pk}": 1,
        f"returned_ct_{large.pk}": "0.009",
        f"set_{small.pk}": "",
    }
    wrong = client.post(f"{way}act/count/", typed)
    assert wrong.status_code == 422 and 'value="0.009"' in wrong.content.decode()
    assert StoneCount.objects.count() == 0
    good = {**typed, f"set_{small.pk}": 4, f"returned_{small.pk}": 1, f"returned_ct_{small.pk}": "0.005"}
    assert client.post(f"{way}act/count/", good).status_code == 302
    assert missing(issued) == []
    again = client.get(f"{way}count/").content.decode()
    assert re.search(rf'name="set_{large.pk}" value="14"', again)
    assert "0.009" in again


@pytest.mark.parametrize("count", [1, 30])
def test_the_count_asks_as_often_for_thirty_lots_as_for_one(
    count, client, job, owner, jeweller, django_assert_num_queries
):
    for number in range(count):
        row = open_lot(
            name=f"1.30 {number}", size_hmm=130, count=10, weight_mct=90, origin="natural", person=owner
        )
        issue(row, job, jeweller, 2, 18)
    lines = [line(row.lot, set=2) for row in queries.issued_lots(commission=job)]
    perform(job, jeweller, "count", lines=lines)
    client.force_login(jeweller)
    client.get("/studio/")  # the first page of a session writes the session down
    with django_assert_num_queries(18):
        page = client.get(f"/studio/bench/{job.reference}/count/")
    assert page.content.count(b"blot") == count
