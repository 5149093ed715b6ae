"""What can go wrong with the record, in the words the gardener sees.

Every error of the store is a RecordError; `says` is one calm line for the chat, the exception's message is for the log.
"""

from __future__ import annotations

from typing import Any


class RecordError(Exception):
    """The record could not be read or written. Nothing of the turn was kept."""

    says = "I could not write that down just now. Nothing was recorded; please send it again in a minute."


class RecordFull(RecordError):
    """The disk is full."""

    says = "The disk that holds your record is full, so nothing was written down. Free some space, then send it again."


class RecordBusy(RecordError):
    """Another process has held the record for longer than we wait."""

    says = (
        "Your record is in use by another program just now. Nothing was written down; please send it again in a minute."
    )


class RecordReadOnly(RecordError):
    """The folder or the file does not let us write."""

    says = "I may read your record but not write to it. Nothing was written down; check who may write in its folder."


class RecordBroken(RecordError):
    """The file is not a database, or is damaged."""

    says = (
        "The file of your record is damaged, so I have not touched it. Bring back the last backup, "
        "or import your last export."
    )


class RecordMissing(RecordError):
    """The file or the server cannot be reached."""

    says = "I cannot open your record. Nothing was written down; check that its folder or database is there."


class RecordNewer(RecordError):
    """The record was written by a later version of Riddle."""

    says = "Your record was written by a newer Riddle than this one. Install the newer version; nothing was changed."


class AlreadyDone(RecordError):
    """The message was dealt with before: the turn changes nothing."""

    says = "I already have that one."


class ImportFault(RecordError):
    """A file to import is not right: `file`, `line` (0 unknown), `field`, and what is wrong."""

    def __init__(self, file: str, line: int, field: str, problem: str) -> None:
        self.file, self.line, self.field, self.problem = file, line, field, problem
        place = f"{file}:{line}" if line else file
        super().__init__(f"{place}: {field}: {problem}" if field else f"{place}: {problem}")
        self.says = f"I did not import that file. {self}. Nothing was changed."


def named(error: Any) -> RecordError:
    """Turn a database library's error into one of ours, by what SQLite or the server said."""
    cause = getattr(error, "orig", None) or error
    text = str(cause).lower()
    code = getattr(cause, "sqlite_errorname", "") or ""
    kind: type[RecordError]
    if code.startswith("SQLITE_FULL") or "disk is full" in text or "no space left" in text:
        kind = RecordFull
    elif code.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")) or "is locked" in text or "lock timeout" in text:
        kind = RecordBusy
    elif code.startswith("SQLITE_READONLY") or "readonly" in text or "permission denied" in text:
        kind = RecordReadOnly
    elif code.startswith(("SQLITE_NOTADB", "SQLITE_CORRUPT")) or "malformed" in text or "not a database" in text:
        kind = RecordBroken
    elif (
        code.startswith("SQLITE_CANTOPEN")
        or "unable to open" in text
        or "connection to server" in text
        or "could not connect" in text
    ):
        kind = RecordMissing
    else:
        kind = RecordError
    return kind(str(cause))
