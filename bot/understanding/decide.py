"""Decide what to do with a reading: act, ask one short question, or decline."""

from __future__ import annotations

from typing import TYPE_CHECKING

from bot.handlers.context import Memory
from bot.reply import ask
from bot.request import Request
from bot.understanding.found import Sheet
from bot.understanding.shapes import Reading
from bot.understanding.text import words_of
from bot.wording import capital

if TYPE_CHECKING:
    from bot.understanding.reader import Clause, Understander


def decide(reader: Understander, requests: list[Request], parts: list[Clause], sheet: Sheet, memory: Memory, explain: tuple[str, ...]) -> Reading:
    """Return the reading of a message's requests.

    Requests sure enough are acted on, and recording needs more certainty than asking. A message whose only
    request is between the thresholds is asked about with two or three choices; below, it is none of the garden's business.
    """
    wanted = [r for r in requests if r.intent != "none"]
    leans = any({"crops", "beds"} & set(r.inherited) for r in wanted)
    if not wanted or all(_apart(reader, p, leans) for p in parts):
        return Reading((_none(sheet),), explain=explain)
    if len(wanted) == 1 and len(parts) == 1 and _bare_crop(parts[0]) and wanted[0].intent == "crop_info" and wanted[0].crops:
        return _ask_about_crop(reader, wanted[0], sheet, explain)
    wanted = [_with_kin(reader, _of_trouble_alone(reader, r), parts) for r in wanted]
    sure = [r for r in wanted if r.confidence >= _act(reader, r, parts)]
    if sure:
        return Reading((*sure, *_left(reader, wanted, sure, parts, sheet)), explain=explain)
    best = max(wanted, key=lambda r: r.confidence)
    part = next((p for p in parts if any(name == best.intent for name, _ in p.ranked)), parts[0])
    if not _worth_asking(reader, best, part, sheet):
        return Reading((_none(sheet),), explain=(*explain, "too unsure to ask"))
    return _ask_which(reader, best, part, sheet, explain)


def _left(reader: Understander, wanted: list[Request], sure: list[Request], parts: list[Clause], sheet: Sheet) -> list[Request]:
    """Return what a message said besides that is too unsure to act on, to be owned up to: nobody should think it recorded or answered.

    Only what names something or asks: scraps of a story are passed over.
    """
    left: list[Request] = []
    for part in parts:
        text = sheet.said(part.start, part.end).strip(" ,.;")
        tells = part.asks and len(part.words) > 2 or any(part.start <= f.start < part.end and f.kind in _TELLING for f in sheet.found)
        mine = [r for r in wanted if r.text.strip(" ,.;") == text]
        if mine and tells and not any(r in sure for r in mine) and not _apart(reader, part):
            left.append(Request("none", 1.0, text, flags=frozenset({"left"})))
    return left


#: Slots that make a stretch of words say something of the garden.
_TELLING = ("crop", "stranger", "bed", "pest", "material", "product", "qty", "variety", "group")


def _with_kin(reader: Understander, request: Request, parts: list[Clause]) -> Request:
    """Return a request too unsure to act on as surely as it and its kin together: sowing and planting are told alike, and a pest seen can be answered.

    Of kin of which one only asks, the one that asks is taken: an answer does no harm where a record might.
    """
    part = next((p for p in parts if p.ranked[0][0] == request.intent), None)
    kin = next((k for k in reader.rules["kin"] if request.intent in k), None)
    if part is None or kin is None or request.confidence >= _act(reader, request, parts):
        return request
    chances = dict(part.ranked)
    together = request.confidence * sum(chances.get(k, 0.0) for k in kin) / max(part.ranked[0][1], 1e-6)
    asks = next((k for k in kin if reader.intents[k].kind == "ask"), request.intent)
    return request.with_(intent=asks, confidence=round(min(together, 0.99), 4))


def _of_trouble_alone(reader: Understander, request: Request) -> Request:
    """Return a record that a crop was cleared as one of the trouble it names, where no word tells that it was taken out: nobody's crop is struck off for bolting."""
    rule = reader.rules["of_trouble_alone"]
    if request.intent != rule["ends"] or not request.pest:
        return request
    taken = reader.lexicon.sets[rule["ends"]] | set(rule["unless"])
    return request if set(words_of(request.text)) & taken else request.with_(intent=rule["seen"])


def _apart(reader: Understander, part: Clause, leans: bool = False) -> bool:
    """Tell whether a clause is none of the garden's business; what leans on a crop or bed spoken of hardly ever is."""
    rules = reader.rules["apart"]
    return part.apart >= float(rules["alone" if leans else "least"]) and part.sure < float(rules["unless"])


def _none(sheet: Sheet) -> Request:
    return Request("none", 1.0, sheet.text)


def _act(reader: Understander, request: Request, parts: list[Clause]) -> float:
    """Return how sure a request must be to be acted on.

    Less when its clause opens with a verb that tells of that very thing, and for an amount of nothing: what it is of is asked before anything is written.
    """
    act = reader.rules["act"]
    told = reader.lexicon.sets.get(request.intent, set())
    named = request.crops or request.crop_choices or request.unknown_crop or request.product or request.group or request.materials or request.pest
    if request.intent in reader.rules["counted"] and request.quantities and not named:
        return float(act["told"])
    if any(p.ranked[0][0] == request.intent and p.words and p.words[0] in told for p in parts):
        return float(act["told"])
    return float(act.get(request.intent, act[reader.intents[request.intent].kind]))


def _bare_crop(part: Clause) -> bool:
    return [w for w in part.words if w not in ("the", "a", "my", "some")] in (["<crop>"], ["<group>"])


def _worth_asking(reader: Understander, request: Request, part: Clause, sheet: Sheet) -> bool:
    """Tell whether an unsure message is likely enough about the garden to ask back."""
    anchored = any(f.kind in ("crop", "stranger", "bed", "group", "pest", "material", "variety", "product") for f in sheet.found)
    trapped = any(f.kind == "trap" for f in sheet.found)
    floor = float(reader.rules["decline"]["anchored" if anchored else "adrift"])
    return not trapped and request.confidence >= floor


def _ask_which(reader: Understander, best: Request, part: Clause, sheet: Sheet, explain: tuple[str, ...]) -> Reading:
    """Ask which of two or three readings is meant."""
    names = [n for n, _ in [(best.intent, 1.0), *part.ranked] if reader.intents[n].kind != "talk" or n in ("undo", "correct_last")]
    names = [n for n in dict.fromkeys(names) if n != "none"][:3]
    choices = [(_filled(reader, reader.intents[n].label, best, sheet), _filled(reader, reader.intents[n].says, best, sheet)) for n in names]
    choices = [c for c in choices if "{" not in c[1]]
    if not choices:
        return Reading((_none(sheet),), explain=(*explain, "nothing to offer"))
    if len(choices) == 1:
        choices.append(("something else", "help"))
    reply = ask("Which did you mean?", [(capital(label), says) for label, says in choices])
    return Reading((), asked=reply, unsure=best, explain=(*explain, f"asked: best {best.intent} {best.confidence:.2f}"))


def _ask_about_crop(reader: Understander, request: Request, sheet: Sheet, explain: tuple[str, ...]) -> Reading:
    """Ask what a bare crop name wants to know."""
    said = sheet.text.strip(" ?!.,").lower()
    choices = [(f"When to sow {said}", f"when do I sow {said}"), (f"Where {said} are growing", f"where are the {said}"), (f"All about {said}", f"tell me about {said}")]
    return Reading((), asked=ask(f"What about {said}?", choices), explain=(*explain, "a crop name alone: asked"))


def _filled(reader: Understander, text: str, request: Request, sheet: Sheet) -> str:
    """Fill the slots of a label with the message's own words; a phrase keeps its sense when a slot is left out."""
    crop = next((sheet.said(f.start, f.end).lower() for f in sheet.found if f.kind in ("crop", "group", "variety")), "")
    bed = next((sheet.said(f.start, f.end) for f in sheet.found if f.kind == "bed"), "")
    pest = next((sheet.said(f.start, f.end).lower() for f in sheet.found if f.kind == "pest"), "")
    material = next((sheet.said(f.start, f.end).lower() for f in sheet.found if f.kind == "material"), "")
    date = next((sheet.said(f.start, f.end) for f in sheet.found if f.kind == "date"), "")
    plain = {"crop": crop or "it", "bed": bed or "the bed", "pest": pest or "a pest", "material": material or "something", "date": date or "then"}
    for slot, words in plain.items():
        text = text.replace("{" + slot + "}", words)
    return text
