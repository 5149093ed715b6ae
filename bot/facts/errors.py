"""What is wrong in a knowledge or settings file, said in one line."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault: file (relative to its folder), line from 1 (0 unknown), the field, what is wrong."""

    file: str
    line: int
    field: str
    message: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}" if self.line else self.file
        return f"{place}: {self.field}: {self.message}" if self.field else f"{place}: {self.message}"


class KnowledgeError(Exception):
    """Raised with every fault found, so that all can be mended at once."""

    def __init__(self, faults: list[Fault]) -> None:
        self.faults = faults
        super().__init__("\n".join(str(fault) for fault in faults))
