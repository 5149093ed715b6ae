"""Remember the plain values of knowledge files between runs, so that a cold start need not parse YAML.

Only plain JSON is kept, in the user's cache folder, named by a hash of the files' contents, and every value is
validated again when read: a stale, broken or foreign cache can slow a start down but not change a fact's shape.
Files are used only when they belong to this user and nobody else may write them.
"""

from __future__ import annotations

import hashlib
import json
import os
import stat
from pathlib import Path
from typing import Any

import platformdirs

#: Raise when the parsing of YAML into plain values changes.
_FORM = "1"
#: Old entries beyond this many are removed when a new one is written.
_KEEP = 24


class Cache:
    """A folder of parsed values. Every failure to read or write is silent: the files themselves stay the truth."""

    def __init__(self, folder: Path | None) -> None:
        self.folder = folder

    @classmethod
    def of_user(cls) -> Cache:
        """Return the cache in the user's cache folder; off when RIDDLE_NO_CACHE is set."""
        if os.environ.get("RIDDLE_NO_CACHE"):
            return cls(None)
        return cls(Path(platformdirs.user_cache_dir("riddle", appauthor=False)) / "knowledge")

    def key(self, contents: list[tuple[str, bytes]]) -> str:
        """Return the name under which files of these names and contents are remembered."""
        digest = hashlib.sha256(_FORM.encode())
        for name, content in contents:
            digest.update(f"\0{name}\0{len(content)}\0".encode())
            digest.update(content)
        return digest.hexdigest()[:40]

    def get(self, key: str) -> Any:
        """Return the remembered value, or None."""
        if self.folder is None:
            return None
        path = self.folder / f"{key}.json"
        try:
            with path.open("rb") as handle:
                if not _ours(os.fstat(handle.fileno())):
                    return None
                return json.load(handle)
        except (OSError, ValueError):
            return None

    def put(self, key: str, value: Any) -> None:
        """Remember a value, whole or not at all."""
        if self.folder is None:
            return
        part = self.folder / f"{key}.{os.getpid()}.part"
        try:
            text = json.dumps(value, ensure_ascii=False, separators=(",", ":"), allow_nan=False)
            self.folder.mkdir(parents=True, exist_ok=True, mode=0o700)
            descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
            with os.fdopen(descriptor, "w", encoding="utf-8") as handle:
                handle.write(text)
            os.replace(part, self.folder / f"{key}.json")
            self._prune()
        except (OSError, TypeError, ValueError):  # unwritable folder, or a value that JSON cannot hold
            part.unlink(missing_ok=True) if part.exists() else None

    def _prune(self) -> None:
        assert self.folder is not None
        entries = sorted(self.folder.glob("*.json"), key=lambda p: p.stat().st_mtime, reverse=True)
        for old in entries[_KEEP:]:
            old.unlink(missing_ok=True)


def _ours(status: os.stat_result) -> bool:
    if not hasattr(os, "getuid"):  # Windows: the folder is the user's own by its place
        return True
    return status.st_uid == os.getuid() and not status.st_mode & (stat.S_IWGRP | stat.S_IWOTH)
