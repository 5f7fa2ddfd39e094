"""Many random cases: each is sound by the independent check, or refused with alternatives that are."""

import random

import pytest

from gemcalc.halo.case import plain_case, read_case
from gemcalc.halo.check import verify
from gemcalc.halo.fit import fit
from gemcalc.halo.layout import checked, layout_of
from gemcalc.halo.samples import sample
from gemcalc.halo.solve import solve

SUITES = 25
CASES = 20


def merged(data, changes):
    """The plain case with an alternative's changed keys."""
    out = dict(data)
    for key, value in changes.items():
        out[key] = {**data[key], **value} if key in ("rules", "melee") else value
    return out


def judge(read):
    solved = solve(read)
    if solved.sound:
        layout = layout_of(read, solved)
        verdict = verify(case=plain_case(read), layout=layout)
        assert verdict.broken == ()
        assert verdict.untrue == ()
        return True
    answer = fit(read)
    assert not answer["feasible"]
    assert answer["broken"]
    assert answer["alternatives"]
    for other in answer["alternatives"]:
        changed = read_case(merged(plain_case(read), other["case"]))
        layout = {key: value for key, value in other["layout"].items() if key != "alternatives"}
        verdict = verify(case=plain_case(changed), layout=layout)
        assert verdict.sound, (other["change"], verdict)
    return False


def test_a_few_random_cases():
    assert sum(judge(sample(random.Random(seed))) for seed in range(900, 912)) >= 9


@pytest.mark.slow
@pytest.mark.parametrize("suite", range(SUITES))
def test_random_cases_are_sound_or_answered(suite):
    draw = random.Random(7000 + suite)
    found = [judge(sample(draw)) for _ in range(CASES)]
    assert sum(found) >= 0.7 * CASES


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(30))
def test_random_cases_of_two_rows(seed):
    draw = random.Random(40 + seed)
    read = sample(draw)
    data = plain_case(read)
    data["rows"], data["target"] = 2, None
    data["rules"] = {**data["rules"], "row_gap_min_mm": 0.03, "row_gap_max_mm": 0.12}
    data["melee"]["stock"] = None
    case = read_case(data)
    solved = solve(case)
    layout = checked(case, solved)
    assert layout["feasible"] == solved.sound
    if not solved.sound:
        assert fit(case)["alternatives"]
