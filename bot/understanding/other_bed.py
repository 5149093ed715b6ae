"""Another bed asked of in two words: "and B?", "what about the greenhouse", "and the other one"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.reply import Reply, ask
from bot.request import OTHER_BEDS, Request

if TYPE_CHECKING:
    from bot.understanding.memory import Recall


def another_bed(recall: Recall) -> Request | Reply | None:
    """Read "and B?", "what about the greenhouse" or "and the other one" after a question of a bed as the same question of that bed.

    A bed that nobody knows is said to be unknown; which other one is meant is asked where there are several.
    """
    last, slots, residue = recall.last, recall.slots(), recall.residue()
    rules = recall.reader.rules
    numbered = _by_number(recall, last) if last is not None else None
    if numbered is not None:
        return numbered
    if last is not None and last.beds and last.intent in rules["told_of_other_beds"] and recall.starts("and") and all(f.kind == "date" for f in slots):
        return _told_of_others(recall, last)
    if (last is None or not (last.beds or last.unknown_bed) or not recall.starts("and")
            or last.intent not in (*rules["takes_bed"], *rules["one_subject"]) or recall.recording(last)):
        return None
    words = [t.word for t in recall.sheet.tokens if t.kind != "mark"]
    if not (slots or residue or last.crops) and {"other", "others"} & set(words):
        rest = [bed for bed in recall.names.beds if bed not in last.beds]
        if len(rest) != 1:
            return ask("Which bed?" if rest else "There is no other bed.", [(recall.names.beds[bed][0], recall.names.beds[bed][0]) for bed in rest[:6]])
        return _of_bed(recall, last, rest[0], None)
    if not slots and set(residue) <= {words[-1]} and (len(words[-1]) == 1 or words[-1].isdigit()):
        called = (words[-1], f"bed {words[-1]}")
        bed = next((bed for bed, names in recall.names.beds.items() if any(name.lower() in called for name in names)), None)
        return _of_bed(recall, last, bed, f"bed {words[-1].upper()}")
    if slots and not residue and last.intent in rules["one_subject"] and all(f.kind == "cover" for f in slots):
        return _of_bed(recall, last, None, recall.sheet.said(slots[0].start, slots[0].end))
    return None


def _by_number(recall: Recall, last: Request) -> Request | None:
    """Read "and 4", "same for 2" or "did 3 and 4 too" after a record of a bed, with no amount told, as the same record of the beds of those numbers."""
    if last.intent not in (*recall.reader.rules["told_of_other_beds"], "log_note") or not last.beds or last.quantities or recall.sheet.found:
        return None
    words = [t.word for t in recall.sheet.tokens if t.kind != "mark"]
    numbers, rest = [w for w in words if w.isdigit()], {w for w in words if not w.isdigit()}
    called = {name.lower(): bed for bed, names in recall.names.beds.items() for name in names}
    beds = tuple(dict.fromkeys(called.get(f"bed {number}", "") for number in numbers))
    beside = recall.reader.lexicon.beside
    if not beds or "" in beds or set(beds) & set(last.beds) or not rest & set(beside["goes_on_with_beds"]) or rest - set(beside["round_bed_numbers"]):
        return None
    return last.with_(beds=beds, unknown_bed=None, text=recall.sheet.text, confidence=0.95, inherited=("intent",))


def _told_of_others(recall: Recall, last: Request) -> Request | Reply | None:
    """Read "and the other beds too" after a record of one bed: what goes on a bed goes on all the others, of anything else it is asked where."""
    sheet, words = recall.sheet, {t.word for t in recall.sheet.tokens if t.kind != "mark"}
    if not {"other", "others", "rest"} & words or set(recall.residue()) - {"bed", "beds", "others", "all", "rest"}:
        return None
    rest = [bed for bed in recall.names.beds if bed not in last.beds]
    fresh = recall.reader.request(recall.reader.clause(sheet, 0, len(sheet.tokens)), last.intent, 0.95, sheet, recall.names, recall.today, recall.region)
    told = last.with_(beds=(), quantities=(), when=fresh.when or last.when, text=sheet.text, confidence=0.95, inherited=("intent",))
    if last.intent == "log_fed_mulched":
        return told.with_(flags=told.flags | {OTHER_BEDS})
    if len(rest) == 1:
        return told.with_(beds=(rest[0],))
    return ask("Which bed?", [], waiting=told, wants="bed") if rest else Reply("There is no other bed.")


def _of_bed(recall: Recall, last: Request, bed: str | None, unknown: str | None) -> Request:
    return last.with_(beds=(bed,) if bed else (), unknown_bed=None if bed else unknown, text=recall.sheet.text, confidence=0.95, inherited=("intent",))
