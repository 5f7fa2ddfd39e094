"""A ring of a million triangles stays within its time and memory."""

from __future__ import annotations

import re

import pytest

from gemcalc.bench.mesh import lines


@pytest.mark.slow
def test_a_million_triangles() -> None:
    text = "\n".join(lines())
    seconds = re.search(r"closedness: ([\d.]+) s", text)
    memory = re.search(r"process: (\d+) MB", text)
    assert "1,000,000 triangles" in text
    assert "sound: True" in text
    assert seconds is not None and float(seconds[1]) < 4, "twice the limit, for a machine that is shared"
    assert memory is not None and int(memory[1]) < 600
    assert "-0.0033 %" in text
