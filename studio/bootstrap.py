"""
From a bare machine to a running house, with Python's own library alone.

``manage.py`` comes here before anything else is imported: the virtual environment is made with plain
pip from the hashed requirements, and what the system lacks is said in one line that mends it.
"""

from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import venv
from ctypes.util import find_library
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
PYTHON = VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
LEAST = (3, 11)

PDF = {
    "debian": "apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0",
    "fedora": "dnf install pango harfbuzz",
    "macos": "brew install pango",
}
TESTS = {
    "debian": f"{PDF['debian']} chromium units gettext redis-server",
    "fedora": f"{PDF['fedora']} chromium units gettext redis",
    "macos": f"{PDF['macos']} gnu-units gettext redis && brew install --cask chromium",
}


def system() -> str:
    """Which of the three families of systems this is, as far as the install line goes."""
    if sys.platform == "darwin":
        return "macos"
    return "fedora" if shutil.which("dnf") else "debian"


def chromium() -> str | None:
    """Path of the Chromium that the browser tests drive."""
    told = os.environ.get("RINGWRIGHT_CHROMIUM")
    found = told or shutil.which("chromium") or shutil.which("chromium-browser")
    if not found and sys.platform == "darwin":
        application = Path("/Applications/Chromium.app/Contents/MacOS/Chromium")
        found = str(application) if application.exists() else None
    return found


def missing(*, tests: bool) -> str | None:
    """The line that installs what the system lacks, or None when nothing is missing."""
    pango = find_library("pango-1.0") and find_library("pangoft2-1.0")
    if tests:
        programs = all(shutil.which(name) for name in ("redis-server", "units"))
        return None if pango and chromium() and programs else TESTS[system()]
    return None if pango else PDF[system()]


def _stop(words: str) -> None:
    print(words, file=sys.stderr)
    raise SystemExit(1)


def _inside() -> bool:
    return Path(sys.prefix).resolve() == VENV.resolve()


def _stamp(requirements: Path) -> str:
    return hashlib.sha256(requirements.read_bytes() + sys.version.encode()).hexdigest()


def ready(*, tests: bool) -> None:
    """
    Make the virtual environment and install the hashed requirements, once per change of them.

    The stamp is written last, so that an interrupted install is simply done again.
    """
    if sys.version_info < LEAST:
        _stop(f"Python {LEAST[0]}.{LEAST[1]} or newer is needed; this is {sys.version.split()[0]}.")
    line = missing(tests=tests)
    if line:
        _stop(f"The system lacks what the {'tests' if tests else 'papers'} need. Run:\n  {line}")
    requirements = ROOT / "studio" / ("requirements-test.txt" if tests else "requirements.txt")
    stamp_file = VENV / f"{requirements.stem}.stamp"
    stamp = _stamp(requirements)
    if stamp_file.exists() and stamp_file.read_text() == stamp and PYTHON.exists():
        return
    print("Making the virtual environment and installing what the house needs …", flush=True)
    try:
        if not PYTHON.exists():
            venv.create(VENV, with_pip=True)
        pip = [
            str(PYTHON),
            "-m",
            "pip",
            "install",
            "--quiet",
            "--disable-pip-version-check",
            "--require-hashes",
        ]
        subprocess.run([*pip, "-r", str(requirements)], check=True)  # noqa: S603
    except (OSError, subprocess.CalledProcessError) as error:
        _stop(f"The requirements could not be installed: {error}")
    stamp_file.write_text(stamp)
    (VENV / "requirements.stamp").write_text(_stamp(ROOT / "studio" / "requirements.txt"))


def enter(arguments: list[str]) -> None:
    """
    Go on inside the virtual environment.

    ``demo`` and ``test`` make it first. Any other command uses it where it exists, and otherwise takes
    the Python that was called (in a container the requirements are installed there).
    """
    command = arguments[1] if len(arguments) > 1 else ""
    if _inside():
        return
    if command in ("demo", "test"):
        ready(tests=command == "test")
    elif not PYTHON.exists():
        try:
            import django  # noqa: F401
        except ImportError:
            _stop("The house is not installed yet. Run: python3 manage.py demo")
        return
    elif os.environ.get("VIRTUAL_ENV") or os.environ.get("RINGWRIGHT_HERE"):
        return
    os.execv(str(PYTHON), [str(PYTHON), *arguments])  # noqa: S606
