"""
Sweeps over the links of a grid: what it costs to go on from every place, and to come to it.

Every link leads some cells on, so whole blocks of cells are settled at one go.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from gemcalc.halo.links import Links

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Block:
    """
    Args:
        rows: Rows of links that start in this block of cells.
        targets: Places they lead to, as cell * sizes + size, [column, row].
        heads: First row of each place before, counted in the block.
        nodes: Those places.
    """

    rows: slice
    targets: Ints
    heads: Ints
    nodes: Ints


def blocks(
    node: Ints, first: Ints, after: Ints, shape: tuple[int, int], columns: int, advance: int
) -> list[Block]:
    """
    Rows of links cut into blocks, the last first: links of one block all lead beyond it.

    Args:
        node: Place before, as cell * sizes + size, rising, per row.
        first: First cell after, per row.
        after: Size after, per row.
        shape: Sizes and cells of the grid.
        columns: Cells after, per row.
        advance: Least number of cells between two neighbours.
    """
    sizes, width = shape
    across = np.arange(columns)[:, None]
    blocks: list[Block] = []
    stops = np.arange(width, 0, -advance)
    edges = np.searchsorted(node, np.append(stops, 0) * sizes)
    for high, low in itertools.pairwise(edges.tolist()):
        if high <= low:
            continue
        targets = np.minimum(first[low:high] + across, width - 1) * sizes + after[low:high]
        inside = node[low:high]
        heads = np.concatenate(([0], np.nonzero(np.diff(inside))[0] + 1))
        blocks.append(Block(slice(low, high), targets, heads, inside[heads]))
    return blocks


def cost_to_go(links: Links, own: Floats, finish: Floats) -> Floats:
    """
    Least cost from each place [size, cell] to the end, its own cost left out.

    Args:
        links: The grid.
        own: Cost of each place, [size, cell].
        finish: Cost of ending at each place, [size, cell].
    """
    sizes, width = own.shape
    spent = own.T.ravel()
    go = finish.T.ravel().copy()
    total = spent + go
    for block in links.sweep:
        reached = total.take(block.targets)
        reached += links.cost[:, block.rows]
        values = np.minimum.reduceat(reached.min(axis=0), block.heads)
        go[block.nodes] = np.minimum(go[block.nodes], values)
        total[block.nodes] = spent[block.nodes] + go[block.nodes]
    return np.ascontiguousarray(go.reshape(width, sizes).T)


def cost_to_come(links: Links, own: Floats, begin: Floats) -> Floats:
    """
    Least cost from the beginning to each place [size, cell], its own cost left out.

    Args:
        links: The grid.
        own: Cost of each place, [size, cell].
        begin: Cost of beginning at each place, [size, cell].
    """
    sizes, width = own.shape
    spent, come = own.T.ravel(), begin.T.ravel().copy()
    for block in reversed(links.sweep):
        before = links.node[block.rows]
        np.minimum.at(come, block.targets, links.cost[:, block.rows] + (come[before] + spent[before]))
    return np.ascontiguousarray(come.reshape(width, sizes).T)
