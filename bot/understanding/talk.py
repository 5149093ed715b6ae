"""Turn the clauses of a message into requests, with what the conversation left behind."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from bot.handlers.context import Memory
from bot.request import Request
from bot.understanding.clauses import clauses
from bot.understanding.decide import decide
from bot.understanding.found import Sheet
from bot.understanding.memory import Recall, inherit
from bot.understanding.shapes import PlotNames, Reading
from bot.understanding.text import clean, tokenise

if TYPE_CHECKING:
    from bot.understanding.reader import Clause, Understander

_PICKS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "1st": 1, "2nd": 2, "3rd": 3, "4th": 4, "one": 1, "two": 2, "three": 3,
          "four": 4, "five": 5, "six": 6}


def converse(reader: Understander, text: str, names: PlotNames, memory: Memory, today: date, region: str) -> Reading:
    """Understand one message given what went before."""
    cleaned = clean(text)
    if not any(c.isalnum() for c in cleaned):
        return Reading((Request("none", 1.0, text[:200]),), explain=("nothing to read",))
    picked = _picked(cleaned, memory)
    if picked is not None:
        return converse(reader, picked, names, replace(memory, shown=(), reply=None), today, region)
    sheet, changed = reader.sheet(cleaned, names, region)
    explain = [f"spelling: {c}" for c in changed]
    recall = Recall(reader, sheet, names, memory, today, region)
    known = recall.answer()
    if known is not None:
        return Reading((known,), explain=(*explain, f"taken from the conversation: {known.intent}"))
    spans = clauses(sheet, reader.lexicon)
    parts = join_weak(reader, sheet, [reader.clause(sheet, a, b) for a, b in spans])
    requests: list[Request] = []
    for clause in parts:
        intent, confidence = clause.ranked[0]
        made = reader.request(clause, intent, confidence, sheet, names, today, region)
        made = inherit(reader, made, clause, sheet, requests, memory, today)
        requests += several(reader, made, clause, sheet)
        explain.append(f"{' '.join(clause.words)} -> " + ", ".join(f"{i} {p:.2f}" for i, p in clause.ranked[:3])
                       + "; " + ", ".join(f"{k} {v:.2f}" for k, v in reader.model.because(clause.found, intent)))
    return decide(reader, requests, parts, sheet, memory, tuple(explain))


def _picked(text: str, memory: Memory) -> str | None:
    """Return the message a bare number or a choice's own words stand for."""
    if not memory.shown:
        return None
    words = [t.word for t in tokenise(text) if t.kind != "mark" and t.word not in ("the", "one", "option", "number", "no", "please", "choice", "answer")]
    whole = " ".join(t.word for t in tokenise(text) if t.kind != "mark")
    number = None
    if len(words) == 1:
        number = int(words[0]) if words[0].isdigit() and len(words[0]) < 3 else _PICKS.get(words[0])
    elif not words and whole in ("one", "the one", "number one", "option one"):
        number = 1
    if number is not None and 1 <= number <= len(memory.shown):
        return memory.shown[number - 1]
    labels = [c.label for c in memory.reply.choices] if memory.reply else []
    for label, says in zip(labels, memory.shown, strict=False):
        if whole and whole == " ".join(t.word for t in tokenise(label) if t.kind != "mark"):
            return says
    return None


def join_weak(reader: Understander, sheet: Sheet, parts: list[Clause]) -> list[Clause]:
    """Join a clause that says little by itself to its neighbour, when the two read better as one; drop empty talk."""
    rules = reader.rules
    small = set(rules["small_talk"])
    changed = True
    while len(parts) > 1 and changed:
        changed = False
        for i, part in enumerate(parts):
            top, sure = part.ranked[0]
            if not (top in small or sure < rules["weak"]):
                continue
            best: tuple[float, int, Clause] | None = None
            for j in (i - 1, i + 1):
                if not 0 <= j < len(parts):
                    continue
                a, b = sorted((i, j))
                whole = reader.clause(sheet, parts[a].start, parts[b].end)
                gain = whole.ranked[0][1] - parts[j].ranked[0][1] * rules["join_bias"]
                if whole.ranked[0][0] not in small and (best is None or gain > best[0]):
                    best = (gain, a, whole)
            other = parts[i + 1] if i + 1 < len(parts) else parts[i - 1]
            if best is not None and (best[0] > 0 or other.ranked[0][0] in small):
                parts = [*parts[:best[1]], best[2], *parts[best[1] + 2:]]
            elif top in small and any(p.ranked[0][0] not in small for p in parts):
                parts = [p for p in parts if p is not part]
            else:
                continue
            changed = True
            break
    return parts


def several(reader: Understander, request: Request, clause: Clause, sheet: Sheet) -> list[Request]:
    """Split "2 kg of beans, 3 lettuces and a bunch of chard" into one request each."""
    if reader.intents[request.intent].kind != "record":
        return [request]
    inside = [f for f in sheet.found if clause.start <= f.start < clause.end and f.kind in ("crop", "variety", "qty", "bed")]
    inside.sort(key=lambda f: f.start)
    crops = [f for f in inside if f.kind == "crop" or (f.kind == "variety" and f.value)]
    if len(crops) < 2:
        return [request]
    beds, amounts = [f for f in inside if f.kind == "bed"], [f for f in inside if f.kind == "qty"]
    if len(beds) < 2 and len(amounts) < 2:
        return [request]
    made: list[Request] = []
    for n, crop in enumerate(crops):
        low = crops[n - 1].end if n else clause.start
        high = crops[n + 1].start if n + 1 < len(crops) else clause.end
        before = [f for f in amounts if low <= f.start < crop.start]
        after = [f for f in amounts if crop.end <= f.start < high]
        lead = amounts and amounts[0].start < crops[0].start
        mine = (before[-1:] if lead else after[:1]) if len(amounts) > 1 else amounts[:1]
        near = [f for f in beds if crop.end <= f.start < high] or (beds[:1] if len(beds) == 1 else [])
        value = crop.value if crop.kind == "variety" else crop.value.crop
        settled = value if value in request.crops else next((c for c in request.crops if crop.kind == "crop" and c in (crop.value.crop, *crop.value.others)), None)
        made.append(request.with_(
            crops=(settled,) if settled else (), crop_choices=() if settled or crop.kind == "variety" else (crop.value.crop, *crop.value.others),
            quantities=tuple(f.value for f in mine), beds=tuple(f.value for f in near) or (request.beds if len(beds) < 2 else ())))
    return made
