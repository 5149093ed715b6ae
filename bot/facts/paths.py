"""Where the shipped data lies: inside the installed package, or beside it in a checkout."""

from __future__ import annotations

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent.parent


def shipped(folder: str) -> Path:
    """Return the folder `knowledge` or `demo_config`. Raises FileNotFoundError when it is not there."""
    for candidate in (_PACKAGE / "_data" / folder, _PACKAGE.parent / folder):
        if candidate.is_dir():
            return candidate
    raise FileNotFoundError(f"the shipped folder {folder!r} is missing: install Riddle again")
