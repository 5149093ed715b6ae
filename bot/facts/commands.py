"""What `riddle knowledge …` prints: the check, the report, one card, and the schemas for editors."""

from __future__ import annotations

from pathlib import Path

from bot.facts import Facts
from bot.facts.check import check_all
from bot.facts.errors import KnowledgeError
from bot.facts.report import report_text
from bot.facts.schema import export_schema
from bot.facts.show import nearest_ids, show_text


def check_command(root: Path | None = None, *, report: bool = False) -> tuple[str, int]:
    """Check all knowledge under `root`. Returns the text to print and the exit code: 0 when sound, 2 when not.

    With `report` the shares of figures read in a publication follow.
    """
    try:
        facts = Facts(root)
    except FileNotFoundError as error:
        return str(error), 2
    faults = check_all(facts)
    lines = [str(fault) for fault in faults]
    if faults:
        count = "1 fault" if len(faults) == 1 else f"{len(faults)} faults"
        lines.append(f"{count}. Each line names the file, the line in it, the field and what is wanted.")
    else:
        lines.append(f"The knowledge is sound: {len(facts.written_crops)} crops, {len(facts.sources)} sources.")
    if report:
        try:
            lines += ["", report_text(facts)]
        except KnowledgeError:
            lines.append("The report waits until these are mended.")
    return "\n".join(lines), 2 if faults else 0


def show_command(wanted: str, facts: Facts) -> tuple[str, int]:
    """Return the card of an id and 0, or one line that names near ids and 2."""
    text = show_text(facts, wanted)
    if text is not None:
        return text, 0
    near = nearest_ids(facts, wanted)
    hint = f" Near it: {', '.join(near)}." if near else ""
    return f"Nothing in the knowledge has the id {wanted!r}.{hint}", 2


__all__ = ["check_command", "export_schema", "report_text", "show_command", "show_text"]
