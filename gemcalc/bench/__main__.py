"""``python -m gemcalc.bench SUBJECT``: measure one subject and print what was measured."""

from __future__ import annotations

import sys
from importlib import import_module
from pathlib import Path


def subjects() -> list[str]:
    """
    Names of the subjects that can be measured: the modules beside this one.

    Source:
        exact-geometry
    """
    return sorted(path.stem for path in Path(__file__).parent.glob("*.py") if not path.stem.startswith("__"))


def main(arguments: list[str]) -> int:
    """Exit code for the command line *arguments* (without the program's name)."""
    known = subjects()
    if len(arguments) != 1 or arguments[0] not in known:
        sys.stderr.write(f"name one subject: {', '.join(known)}\n")
        return 2
    for line in import_module(f"gemcalc.bench.{arguments[0]}").lines():
        sys.stdout.write(f"{line}\n")
        sys.stdout.flush()
    return 0


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
