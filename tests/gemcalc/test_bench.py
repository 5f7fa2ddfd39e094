"""The timing command, and the two measures that the figures must keep."""

from __future__ import annotations

import pytest

from gemcalc.bench import figures
from gemcalc.bench.__main__ import main, subjects


@pytest.mark.parametrize(
    ("name", "figure", "arguments"), [pytest.param(*row, id=row[0]) for row in figures.SINGLE]
)
def test_a_single_figure_takes_less_than_50_microseconds(name: str, figure, arguments) -> None:  # type: ignore[no-untyped-def]
    """Best of many goes: a busy machine must not decide."""
    seconds = figures.best_seconds(work=lambda: figure(**arguments), runs=200, repeats=20)
    assert seconds < 50e-6, name


def test_the_command_names_its_subjects_and_refuses_others(capsys: pytest.CaptureFixture[str]) -> None:
    assert "figures" in subjects()
    assert main([]) == 2
    assert main(["horoscope"]) == 2
    assert "figures" in capsys.readouterr().err


def test_the_lines_say_how_long_and_on_what(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["figures"]) == 0
    said = capsys.readouterr().out
    assert said.count("µs") == len(figures.SINGLE)
    assert said.count(" ms ") == 2
    assert "53,920 rounds" in said
