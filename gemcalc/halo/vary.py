"""
Better loops from a good one: sizes changed a little, places refined again, until no change helps.

Round a stone without mirrors the search cannot list every order of sizes; what it finds is carried on from here.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from gemcalc.halo.polish import SOUND_MM, Chain, polish
from gemcalc.halo.search import Sequence
from gemcalc.halo.sector import RowProblem

ROUNDS = 12


def varied(problem: RowProblem, chain: Chain) -> list[Chain]:
    """
    Sound chains met on the way down from *chain*, cheapest first.

    Args:
        problem: The row; its loop is closed.
        chain: A sound chain of it.
    """
    met = [chain]
    for _ in range(ROUNDS):
        best = met[0]
        tried = [
            replace(best.sequence, sizes=sizes, u=best.u, bound=0.0, used=_used(problem, sizes))
            for sizes in _changes(problem, best.sequence)
        ] + _shifted(best)
        sound = [one for one in polish(problem, tried, limit=best.cost) if one.broken <= SOUND_MM]
        met = sorted([*met, *sound], key=lambda one: (one.cost, one.sequence.sizes))
        if met[0].cost >= best.cost - 1e-9:
            break
    return met


def _used(problem: RowProblem, sizes: tuple[int, ...]) -> tuple[int, ...]:
    return tuple(int(n) for n in np.bincount(sizes, minlength=len(problem.sizes)))


def _shifted(chain: Chain) -> list[Sequence]:
    """The whole order carried on by some places, and by a third of a place: better ones can lie between."""
    sequence, count = chain.sequence, len(chain.sequence.sizes)
    if any(pin >= 0 for pin in sequence.pins):
        return []
    pitch = float(chain.u[-1] - chain.u[0]) / (count - 1)
    return [
        replace(sequence, sizes=sequence.sizes[k:] + sequence.sizes[:k], u=chain.u + share * pitch, bound=0.0)
        for k in range(count)
        for share in (-1 / 3, 0.0, 1 / 3)
    ]


def _changes(problem: RowProblem, sequence: Sequence) -> list[tuple[int, ...]]:
    """
    Orders near by, where steps and stock allow.

    One stone a size up or down; two stones of unlike sizes exchanged; a stretch between two steps turned round,
    which brings runs of one size together.
    """
    sizes, count = sequence.sizes, len(problem.sizes)
    found: dict[tuple[int, ...], None] = {}
    for i, own in enumerate(sizes):
        for other in (own - 1, own + 1):
            if 0 <= other < count:
                found[(*sizes[:i], other, *sizes[i + 1 :])] = None
        for j in range(i):
            if sizes[j] != own:
                changed = list(sizes)
                changed[i], changed[j] = changed[j], changed[i]
                found[tuple(changed)] = None
    steps = [i for i, own in enumerate(sizes) if own != sizes[i - 1]]
    for i in steps:
        for j in steps:
            if i < j:
                found[sizes[:i] + sizes[i:j][::-1] + sizes[j:]] = None
    return [one for one in found if one != sizes and _allowed(problem, one)]


def _allowed(problem: RowProblem, sizes: tuple[int, ...]) -> bool:
    diameters = problem.sizes[list(sizes)]
    steps = np.abs(np.diff(np.append(diameters, diameters[0])))
    if float(np.max(steps)) > problem.step_max + 1e-9:
        return False
    return problem.stock is None or bool(np.all(np.array(_used(problem, sizes)) <= problem.stock))
