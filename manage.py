#!/usr/bin/env python3
"""
The studio's command line.

``python3 manage.py demo`` runs the demo workshop and ``python3 manage.py test`` the whole suite, both
from a bare machine; every other command is Django's or ours.
"""

import importlib.util
import os
import sys
from pathlib import Path


def bootstrap():
    """The bootstrap read as a plain file: the package around it needs what is not installed yet."""
    path = Path(__file__).resolve().parent / "studio" / "bootstrap.py"
    spec = importlib.util.spec_from_file_location("ringwright_bootstrap", path)
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def main() -> None:
    bootstrap().enter(sys.argv)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "studio.settings")
    if sys.argv[1:2] == ["demo"]:
        os.environ.setdefault("RINGWRIGHT_DEMO", "yes")
        os.environ.setdefault("RINGWRIGHT_DATA", str(Path(__file__).resolve().parent / "var" / "demo"))
        os.environ.setdefault("RINGWRIGHT_STUDIO_NAME", "Lanternfold")
        os.environ.setdefault("RINGWRIGHT_LETTER_FROM", "studio@lanternfold.example")
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)


if __name__ == "__main__":
    main()
