"""
What the bench must have before a job goes on.

Each gate returns every missing thing at once, in words, with the place where it is done.
The evidence of other rooms is read through their queries; nothing here can be forced.
"""

from __future__ import annotations

from collections.abc import Iterable

from commissions.bench import evidence, queries, small
from commissions.bench.models import Step
from commissions.money.queries import approval_differences
from commissions.record.errors import Missing
from commissions.record.models import Commission
from commissions.record.route import Stage
from commissions.sourcing.queries import condition_missing, same_missing


def to_finish(*, commission: Commission, step: Step) -> list[Missing]:
    """What is missing before *step* can be called done."""
    return [
        *client_goes_on(commission=commission),
        *_problems(commission),
        *_supplier(commission),
        *_next_stage(commission, step),
    ]


def client_goes_on(*, commission: Commission) -> list[Missing]:
    """A client who wishes to cancel is answered before anything more is spent on the ring."""
    wish = queries.wishes_to_cancel(commission=commission)
    return [Missing(words=f"{wish.words}.", path=wish.path)] if wish else []


def client_has_said_go(*, commission: Commission, step: Step) -> list[Missing]:
    """What the client is still to say before *step*, where they chose to be asked before it."""
    held = queries.held_at(commission=commission, step=step)
    if held is None:
        return []
    path = f"/studio/commissions/{commission.reference}/hold-points/"
    return [Missing(words=f"{held.words}.", path=path)]


def to_start(*, commission: Commission, stage: str) -> list[Missing]:
    """What is missing before the bench stage *stage* can begin."""
    if commission.ring_id:
        counted = stones_add_up(commission=commission) if stage in (Stage.FINISHING, Stage.CHECKING) else []
        return [*small.to_start(commission=commission, stage=stage), *counted]
    gate = {
        Stage.CASTING: _casting,
        Stage.MOUNTING: _mounting,
        Stage.SETTING: _setting,
        Stage.FINISHING: _finishing,
        Stage.MARKING: _marking,
        Stage.CHECKING: _checking,
    }.get(stage)
    return list(gate(commission)) if gate else []


def to_set_on(*, commission: Commission, step: Step) -> list[Missing]:
    """What a step of Setting asks for at its own start: a mark found at the bench may need a signature first."""
    return condition_missing(commission=commission) if step.stage == Stage.SETTING else []


def agreement_stands(*, commission: Commission) -> list[Missing]:
    """What differs between what was agreed and what is there now: the fingerprint is computed anew."""
    path = f"/studio/commissions/{commission.reference}/money/"
    return [
        Missing(words=f"What was agreed has changed: {row}", path=path)
        for row in approval_differences(commission=commission)
    ]


def _bench(commission: Commission, part: str = "") -> str:
    return f"/studio/bench/{commission.reference}/{part}"


def _problems(commission: Commission) -> Iterable[Missing]:
    for problem in queries.open_problems(commission=commission):
        yield Missing(
            words=f"An open problem: {problem.words[:120]}", path=_bench(commission, f"problem/{problem.pk}/")
        )


def _supplier(commission: Commission) -> Iterable[Missing]:
    for job in queries.out_of_house(commission=commission):
        yield Missing(
            words=f"Still with {job.supplier}: {job.get_task_display().lower()}.",
            path=f"/studio/commissions/{commission.reference}/suppliers/",
        )


def _next_stage(commission: Commission, step: Step) -> Iterable[Missing]:
    following = queries.next_step(commission=commission, after=step)
    if following is None or following.stage == step.stage:
        return []
    return to_start(commission=commission, stage=following.stage)


def _casting(commission: Commission) -> Iterable[Missing]:
    yield from evidence.alloy_is_allowed(commission=commission)
    yield from same_missing(commission=commission)
    yield from evidence.centre_is_measured(commission=commission)
    if queries.latest_weight(commission=commission, kind="model") is None:
        yield Missing(
            words="The model has not been weighed: the metal is issued by its weight.",
            path=_bench(commission, "weigh/?kind=model"),
        )


def _mounting(commission: Commission) -> Iterable[Missing]:
    yield from evidence.alloy_is_allowed(commission=commission)


def _setting(commission: Commission) -> Iterable[Missing]:
    yield from evidence.alloy_is_allowed(commission=commission)
    yield from evidence.centre_is_measured(commission=commission)
    yield from evidence.centre_fits(commission=commission)
    yield from condition_missing(commission=commission)
    yield from evidence.melee_is_issued(commission=commission)
    if queries.latest_weight(commission=commission, kind="mount") is None:
        yield Missing(
            words="The mount has not been weighed without its stones.",
            path=_bench(commission, "weigh/?kind=mount"),
        )


def _finishing(commission: Commission) -> Iterable[Missing]:
    return stones_add_up(commission=commission)


def _marking(commission: Commission) -> Iterable[Missing]:
    yield from evidence.metal_is_as_agreed(commission=commission)
    if queries.latest_weight(commission=commission, kind="ring") is None:
        yield Missing(
            words="The ring has not been weighed: its weight decides whether it needs a mark.",
            path=_bench(commission, "weigh/?kind=ring"),
        )


def _checking(commission: Commission) -> Iterable[Missing]:
    yield from stones_add_up(commission=commission)


def stones_add_up(*, commission: Commission) -> Iterable[Missing]:
    """Issued is set, returned, broken and lost, by number and by weight, and the sheet's number is in the ring."""
    count = queries.latest_count(commission=commission)
    path = _bench(commission, "count/")
    issued = queries.issued_lots(commission=commission)
    if count is None and not issued and queries.needed(commission=commission) == {}:
        return  # a ring without a halo has nothing to count
    if issued:
        for words in queries.stones_missing(commission=commission):
            yield Missing(words=words, path=path)
    elif count is None:
        yield Missing(words="The stones have not been counted.", path=path)
    elif count.unaccounted > 0:
        yield Missing(
            words=f"{count.unaccounted} of {count.issued} issued stones are not accounted for.", path=path
        )
    elif count.unaccounted < 0:
        yield Missing(words=f"{-count.unaccounted} stones more were counted than were issued.", path=path)
