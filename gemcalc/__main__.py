"""``python -m gemcalc NAME``: one JSON object on stdin, one on stdout; errors as JSON on stderr, exit 2."""

from __future__ import annotations

import importlib
import json
import math
import sys
from typing import Any, TextIO

from gemcalc.errors import BadInput

# Each name is imported only when it is asked for: a weight must not pay for the halo's libraries.
COMMANDS = {
    "weight": "gemcalc.cli.stones:weight",
    "size": "gemcalc.cli.stones:size",
    "carat": "gemcalc.cli.stones:carat",
    "melee": "gemcalc.cli.stones:melee",
    "ring-size": "gemcalc.cli.rings:ring_size",
    "ring-of-stones": "gemcalc.cli.rings:ring_of_stones",
    "alloy": "gemcalc.cli.metals:alloy",
    "band": "gemcalc.cli.metals:band",
    "casting": "gemcalc.cli.metals:casting",
    "model": "gemcalc.cli.metals:model",
    "halo": "gemcalc.cli.halo:halo",
    "scan": "gemcalc.cli.scan:scan",
    "turn": "gemcalc.cli.turn:turn",
}


def _refuse(message: str, *, field: str | None = None) -> int:
    _write(sys.stderr, {"error": {"field": field, "message": message}})
    return 2


def _write(stream: TextIO, value: dict[str, Any]) -> None:
    """One line of UTF-8, whatever the terminal's own encoding; a lone surrogate stays a JSON escape."""
    line = json.dumps(value, ensure_ascii=False, allow_nan=False) + "\n"
    stream.flush()
    stream.buffer.write(line.encode("utf-8", "backslashreplace"))
    stream.buffer.flush()


def _not_finite(value: object) -> bool:
    if isinstance(value, float):
        return not math.isfinite(value)
    if isinstance(value, dict):
        return any(_not_finite(item) for item in value.values())
    if isinstance(value, list | tuple):
        return any(_not_finite(item) for item in value)
    return False


def answer(name: str, data: Any) -> dict[str, Any]:
    """
    Run the figure *name* on the object *data*.

    Raises:
        BadInput: the name is not known, or an input cannot be used.
    """
    if name not in COMMANDS:
        raise BadInput(f"there is no figure called {name!r}: choose one of {', '.join(COMMANDS)}")
    if not isinstance(data, dict):
        raise BadInput("one JSON object is needed, in braces")
    module, function = COMMANDS[name].split(":")
    result: dict[str, Any] = getattr(importlib.import_module(module), function)(data)
    if _not_finite(result):
        raise BadInput("these figures are too extreme to give a finite answer")
    return result


def main(arguments: list[str]) -> int:
    """Exit code for the command line *arguments* (without the program's name)."""
    if len(arguments) != 1:
        return _refuse(f"name one figure: {', '.join(COMMANDS)}")
    try:
        data = json.loads(sys.stdin.buffer.read().decode("utf-8-sig"))
    except (UnicodeDecodeError, ValueError, RecursionError):
        return _refuse("the input is not a JSON object in UTF-8")
    try:
        result = answer(arguments[0], data)
    except BadInput as error:
        return _refuse(error.message, field=error.field)
    except Exception:
        # Whatever bytes come in, the caller gets one sentence and an exit code, never a traceback.
        return _refuse(
            "these figures cannot be worked out: check that every value is of the kind that is asked for"
        )
    _write(sys.stdout, result)
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
