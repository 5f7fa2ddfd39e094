"""How long a halo takes: 200 fresh random cases in a warm process, and one cold run of the command."""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from gemcalc.halo.case import Case, plain_case
from gemcalc.halo.fit import fit
from gemcalc.halo.layout import checked
from gemcalc.halo.samples import sample
from gemcalc.halo.solve import Solved, solve

CASES = 200
TWO_ROWS = 20


def _percentile(times: list[float], share: float) -> float:
    ordered = sorted(times)
    return ordered[min(len(ordered) - 1, int(share * len(ordered)))]


def _line(name: str, times: list[float]) -> str:
    if not times:
        return f"{name:24s} none"
    figures = "  ".join(
        f"{share} {_percentile(times, value):7.1f}" for share, value in (("p50", 0.5), ("p95", 0.95))
    )
    return f"{name:24s} {len(times):4d}  {figures}  worst {max(times):7.1f} ms"


def _timed(work: Callable[[], Solved]) -> tuple[Solved, float, float]:
    start = time.process_time(), time.perf_counter()
    done = work()
    return done, 1000 * (time.process_time() - start[0]), 1000 * (time.perf_counter() - start[1])


def _two_rows(drawn: list[Case]) -> list[Case]:
    """Some of the cases without a target and without a stock again, with a second row."""
    plain = [case for case in drawn if case.target is None and case.melee.stock is None][:TWO_ROWS]
    return [replace(case, rows=2).with_rules(row_gap_min_mm=0.05, row_gap_max_mm=0.25) for case in plain]


def cold_seconds(case: Case) -> float:
    """Wall time of one ``python -m gemcalc halo`` in a fresh process, s."""
    root = Path(__file__).resolve().parents[2]
    start = time.perf_counter()
    subprocess.run(
        [sys.executable, "-m", "gemcalc", "halo"],
        input=json.dumps(plain_case(case)).encode(),
        stdout=subprocess.DEVNULL,
        cwd=root,
        env={**os.environ, "PYTHONPATH": str(root)},
        check=True,
    )
    return time.perf_counter() - start


def lines(seed: int | None = None, cases: int = CASES) -> Iterator[str]:
    """
    Lines with p50, p95 and worst of solving, of infeasible answers with their alternatives, and the cold command.

    Args:
        seed: Of the random cases; fresh ones where None.
        cases: How many.
    """
    seed = random.SystemRandom().randrange(10**6) if seed is None else seed
    draw = random.Random(seed)  # noqa: S311 (not for secrets)
    drawn = [sample(draw) for _ in range(cases)]
    solve(drawn[0])
    # Processor time is what the work costs; the clock also counts what else the machine was busy with.
    times: dict[str, list[float]] = {
        "all": [],
        "all, by the clock": [],
        "free": [],
        "with stock": [],
        "with target": [],
        "infeasible": [],
    }
    whole: list[float] = []
    sound = proved = free = refused = unsound = unanswered = 0
    for case in drawn:
        solved, spent, wall = _timed(lambda case=case: solve(case))  # type: ignore[misc]
        times["all"].append(spent)
        times["all, by the clock"].append(wall)
        kind = "with target" if case.target else "with stock" if case.melee.stock else "free"
        times[kind].append(spent)
        if not solved.sound:
            refused += 1
            times["infeasible"].append(spent)
            start = time.process_time()
            answer = fit(case)
            whole.append(1000 * (time.process_time() - start))
            unanswered += not answer["alternatives"]
            continue
        sound += 1
        unsound += not checked(case, solved)["feasible"]
        if case.target is None:
            free += 1
            proved += solved.optimal
    yield (f"seed {seed}: {sound} sound, {refused} infeasible ({unanswered} of them without an alternative),")
    yield f"{unsound} not passed by the check; proof closed for {proved} of {free} that do not float"
    for name, found in times.items():
        yield _line(name, found)
    yield _line("refusal with its answer", whole)
    yield _line("two rows", [_timed(lambda case=case: solve(case))[1] for case in _two_rows(drawn)])  # type: ignore[misc]
    colds = [cold_seconds(drawn[index]) for index in range(min(3, cases))]
    yield f"cold command             {min(colds):.2f} to {max(colds):.2f} s"


def run(seed: int | None = None, cases: int = CASES) -> None:
    """Print :func:`lines`."""
    for line in lines(seed, cases):
        sys.stdout.write(f"{line}\n")
        sys.stdout.flush()
