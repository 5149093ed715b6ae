"""Slots that only some intents have: glossary terms, wishes, places, times of day and flags."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from bot.request import OTHER_BEDS, Quantity, Request
from bot.understanding.found import Found, Sheet
from bot.understanding.spots import COORDINATES, named_spot, read_spot

if TYPE_CHECKING:
    from bot.understanding.lexicon import Lexicon, Trie
    from bot.understanding.marking import Marker
    from bot.understanding.reader import Understander

_TIME = re.compile(r"\b(\d{1,2})(?::(\d{2}))?\s*(am|pm|a\.m\.|p\.m\.|o'?clock)?\b", re.IGNORECASE)
_HOURS = {"six": 6, "seven": 7, "eight": 8, "nine": 9, "ten": 10, "noon": 12, "midday": 12, "five": 5, "four": 4,
          "three": 3, "two": 2, "one": 1, "eleven": 11}


def beside_it(sheet: Sheet, crop: Found, lexicon: Lexicon) -> bool:
    """Tell whether a crop only says where or when, or is spoken of beside what is told: "next to the apples", "between the rows of parsnips",
    "where we had the spuds", "to make way for leeks", "for the potatoes", "instead of the onions", "while the pears are still hard"."""
    at = crop.start - 1
    while sheet.word(at) in ("the", "my", "our", "some", "those", "old", "last", "year", "all"):
        at -= 1
    if sheet.word(at) == "of" and sheet.word(at - 1) in lexicon.beside["rows_of"]:
        at -= 2
        while sheet.word(at) in ("the", "my", "our", "two", "those"):
            at -= 1
    if sheet.word(at) in ("had", "grew", "dug", "lifted", "pulled") and sheet.word(at - 2) == "where":
        return True  # "where we had the onions"
    before = sheet.word(at - 1)
    for_salad = sheet.word(crop.start) in ("salad", "salads") and "for" in (sheet.word(at), before)
    return (sheet.word(at) in lexicon.beside["where_only"] or for_salad or names_a_place(sheet, crop)
            or next_to(sheet, crop, lexicon) or f"{before} {sheet.word(at)}" in lexicon.beside["spoken_of"] or _of_its_state(sheet, crop, at, lexicon)
            or (sheet.word(at) == "for" and (before in ("way", "room", "space") or (at < crop.start - 1 and not _is_first(sheet, crop)))))  # "mint for the potatoes"


def _is_first(sheet: Sheet, crop: Found) -> bool:
    return all(f.start >= crop.start for f in sheet.found if f.kind in ("crop", "variety", "group"))


def _of_its_state(sheet: Sheet, crop: Found, before: int, lexicon: Lexicon) -> bool:
    """Tell whether only the state of a crop is told, and nothing done to it: "because the cabbages failed", "…, peas are nearly over"."""
    if sheet.word(before) in lexicon.beside["states_lead"]:
        return True
    follows = sheet.word(crop.end + 1)
    return not _is_first(sheet, crop) and sheet.word(crop.end) in lexicon.beside["states"] and follows not in lexicon.told and follows not in lexicon.beside["states_done"]


def cleared_for(sheet: Sheet, crop: Found) -> bool:
    """Tell whether a bed was cleared for a crop to come: "cleared bed 2 for the leeks"."""
    at = crop.start - 1
    while sheet.word(at) in ("the", "my", "our", "some", "next", "year", "new"):
        at -= 1
    return sheet.word(at) == "for"


def names_a_dish(sheet: Sheet, crop: Found, lexicon: Lexicon) -> bool:
    """Tell whether a crop is said in the name of a dish or product made of it: "carrot cake", "apple juice", and not "peas, jam"."""
    one = not sheet.word(crop.end - 1).endswith("s")
    return one and (sheet.word(crop.end) in lexicon.beside["dishes"] and not sheet.taken[crop.end] or sheet.at(crop.end, "product") is not None)


def next_to(sheet: Sheet, place: Found, lexicon: Lexicon) -> bool:
    """Tell whether something stands next to a crop or bed, and so not in it: "beside the tunnel"."""
    at = place.start - 1
    while sheet.word(at) in ("the", "my", "our", "some", "those"):
        at -= 1
    return (sheet.word(at) in lexicon.beside["next_to"] or (sheet.word(at) == "to" and sheet.word(at - 1) in ("next", "close"))
            or (sheet.word(at) == "of" and sheet.word(at - 1) == "front"))


def not_there(sheet: Sheet, bed: Found, lexicon: Lexicon) -> bool:
    """Tell whether a bed is named for what will stand there later, or was not taken: "in the frame for bed 2", "for planting in bed 2", "instead of bed 1"."""
    at = bed.start - 1
    while sheet.word(at) in ("the", "my", "our", "in", "into", "out", "on"):
        at -= 1
    before = sheet.word(at - 1)
    return (sheet.word(at) == "for" or (sheet.word(at) in lexicon.beside["to_come"] and before in ("for", "to", "be", "later"))
            or (sheet.word(at) == "of" and before == "instead") or (sheet.word(at) == "than" and before == "rather"))


def only_compares(sheet: Sheet, crop: Found) -> bool:
    """Tell whether a crop is named for comparison: "do parsnips need sand like the carrots", "the same as the carrots"."""
    at = crop.start - 1
    while sheet.word(at) in ("the", "my", "our", "with", "for"):
        at -= 1
    return sheet.word(at) == "like" or (sheet.word(at) == "as" and sheet.word(at - 1) in ("same", "way"))


def names_a_place(sheet: Sheet, crop: Found) -> bool:
    """Tell whether a place is called after a crop: "the pea bed"; "peas bed 2" names them both."""
    return sheet.word(crop.end) in ("bed", "beds", "patch") and not sheet.taken[crop.end]


def stood_there(sheet: Sheet, crop: Found, lexicon: Lexicon) -> bool:
    """Tell whether a crop is named for the ground it had: "where the peas were"."""
    at = crop.start - 1
    while sheet.word(at) in ("the", "my", "our", "those"):
        at -= 1
    return sheet.word(at) == "where" and sheet.word(crop.end) in lexicon.beside["stood"]


def one_of(sheet: Sheet, crop: Found, lexicon: Lexicon) -> Quantity | None:
    """Return one, where a crop is said as one thing: "a lettuce", "one squash", "a big cabbage"."""
    at = crop.start - 1
    if sheet.word(at) in lexicon.beside["sized"] and not sheet.taken[at]:
        at -= 1
    if sheet.word(at) not in ("a", "an", "one") or sheet.taken[at] or sheet.word(crop.end - 1).endswith("s"):
        return None
    return Quantity(1.0, "count", sheet.said(at, crop.end))


def mark_terms(marker: Marker, sheet: Sheet) -> None:
    """Mark a trade word where a message asks what it means, or is nothing else."""
    words, beside = [t.word for t in sheet.tokens], marker.lexicon.beside
    asked = bool(beside["asks_meaning"] & set(words)) and "i meant" not in " ".join(words)
    for i in range(len(words)):
        hit = marker.terms.longest(sheet.tokens, i)
        if hit is None or not sheet.free(i, hit[0]):
            continue
        end = hit[0]
        rest = [w for t, w in zip(sheet.tokens[end:], words[end:], strict=True) if t.kind != "mark"]
        before = [w for t, w in zip(sheet.tokens[:i], words[:i], strict=True) if t.kind != "mark"]
        while before and before[-1] in beside["before_terms"]:
            before.pop()
        opened = (before[-2:] in (["what", "is"], ["what", "are"], ["what", "does"], ["what", "do"])
                  or before in (["what"], ["explain"], ["define"]))
        alone = (not before and not rest and (end - i > 1 or words[i] not in marker.lexicon.common)
                 and hit[1] not in marker.lexicon.sets["valued_terms"])
        if alone or (opened and all(w in beside["after_terms"] for w in rest)) or (asked and (opened or len(rest) < 4)):
            sheet.mark(Found("term", i, end, hit[1]))
            return


def mark_spots(marker: Marker, sheet: Sheet, beds: Trie) -> None:
    """Mark coordinates, and a town after "I live in" where the word is no bed, crop or ordinary word."""
    pair = COORDINATES.search(sheet.text)
    spans = [(pair.start(), pair.end())] if pair else []
    if not spans:
        named = named_spot(sheet.text)
        if named is not None:
            start = named[0]
            first = next((t for t in sheet.tokens if t.start <= start < t.end), None)
            if (first is not None and first.kind == "word"
                    and (first.upper
                         or (first.word not in marker.lexicon.common and first.word not in marker.speller.known))
                    and first.word not in marker.dates.words and first.word not in ("bed", "beds")
                    and beds.longest(sheet.tokens, sheet.tokens.index(first)) is None
                    and marker.crops.trie.longest(sheet.tokens, sheet.tokens.index(first)) is None):
                spans = [named]
    for low, high in spans:
        inside = [i for i, t in enumerate(sheet.tokens) if t.start < high and t.end > low]
        if inside and sheet.free(inside[0], inside[-1] + 1):
            sheet.mark(Found("spot", inside[0], inside[-1] + 1, True))


def add_special(reader: Understander, request: Request, sheet: Sheet, start: int, end: int) -> Request:
    """Fill the slots that belong to the request's intent."""
    words = [sheet.word(i) for i in range(start, end)]
    changes: dict[str, Any] = {}
    if request.intent in ("sow_now", "fits_bed", "plan", "why_not", "when_sow", "crop_info", "seed_order"):
        wishes = _wishes(reader, sheet, start, end)
        if wishes:
            changes["wishes"] = wishes
    if request.intent in ("log_sow", "log_plant_out"):
        ground = next((f.value.crop for f in sheet.found if f.kind == "crop" and start <= f.start < end and stood_there(sheet, f, reader.lexicon)), None)
        if ground is not None:
            changes["extra"] = {**request.extra, "where": ground}
    if request.intent == "glossary":
        changes["term"] = _term(reader, sheet, start, end)
    if request.intent == "set_location" or (request.intent == "set_units"
                                            and any(f.kind == "spot" for f in sheet.found)):
        changes["spot"] = read_spot(sheet)
    if request.intent in ("add_bed", "set_bed"):
        # Several beds may each have a size of their own: as typed, then metres.
        changes["extra"] = {**request.extra, "sizes": [[sheet.said(f.start, f.end), *f.value] for f in sheet.found
                                                       if f.kind == "size" and start <= f.start < end]}
    if request.intent == "set_summary":
        changes["extra"] = {**request.extra, **_schedule(sheet, start, end)}
    flags = set(request.flags)
    text = f" {' '.join(sheet.word(i) for i in range(start, end) if sheet.at(i, 'bed', 'unknown_bed') is None)} "
    if (request.intent == "fits_bed" and not request.beds
            and any(w in words for w in ("empty", "bare", "free", "spare", "vacant"))):
        flags.add("empty-bed")
    if any(w in words for w in ("gap", "gaps", "space", "room")):
        flags.add("gap")
    if any(w in words for w in ("all", "everything", "everywhere", "lot", "whole")):
        flags.add("all")
    if any(f" {others} " in text for others in reader.rules["other_beds"]):
        flags.add(OTHER_BEDS)
    if (any(w in words for w in ("stop", "cancel", "pause", "unsubscribe", "mute", "off", "no", "quit", "silence"))
            and request.intent in ("set_summary", "share_plot")):
        flags.add("stop")
    if (any(w in words for w in ("remove", "kick", "revoke", "unshare", "boot", "block", "ban"))
            and request.intent == "share_plot"):
        flags.add("stop")
    if " not " in text or " no " in text:
        flags.add("negative")
    if flags != request.flags:
        changes["flags"] = frozenset(flags)
    return request.with_(**changes) if changes else request


def _wishes(reader: Understander, sheet: Sheet, start: int, end: int) -> tuple[str, ...]:
    trie, found, i = reader.lexicon.tries["wishes"], [], start
    while i < end:
        hit = trie.longest(sheet.tokens, i)
        if hit and hit[0] <= end:
            found.append(hit[1])
            i = hit[0]
            continue
        i += 1
    for f in sheet.found:
        if (start <= f.start < end and f.kind in ("group", "crop")
                and sheet.word(f.start - 1) in ("no", "without", "not", "except", "but", "hate", "hates")):
            found.append(f"no:{f.value.group or f.value.crop}")
        elif start <= f.start < end and f.kind == "cover" and f.value == "indoors":
            found.append("indoors")
    return tuple(dict.fromkeys(found))


def _term(reader: Understander, sheet: Sheet, start: int, end: int) -> str | None:
    marked = next((f for f in sheet.found if f.kind == "term" and start <= f.start < end), None)
    if marked is not None:
        return str(marked.value)
    best: tuple[int, str] | None = None
    for i in range(start, end):
        hit = reader.terms.longest(sheet.tokens, i)
        if hit and (best is None or hit[0] - i > best[0]):
            best = (hit[0] - i, hit[1])
    if best:
        return best[1]
    typed = [sheet.tokens[i].raw for i in range(start, end) if sheet.tokens[i].kind == "word"
             and sheet.word(i) not in reader.lexicon.beside["about_terms"]]
    return " ".join(typed) or None


def _schedule(sheet: Sheet, start: int, end: int) -> dict[str, Any]:
    """Return the weekday (Monday 0) and time "HH:MM" a summary is wanted at."""
    found: dict[str, Any] = {}
    for f in sheet.found:
        if f.kind == "date" and start <= f.start < end and f.value.weekday is not None:
            found["weekday"] = f.value.weekday
    covered = {i for f in sheet.found if f.kind in ("date", "crop", "bed") for i in range(f.start, f.end)}
    words = [sheet.word(i) for i in range(start, end)]
    late = any(w in words for w in ("evening", "night", "tonight", "pm", "afternoon"))
    for i in range(start, end):
        if i in covered:
            continue
        word, hour, minute = sheet.word(i), None, 0
        match = _TIME.fullmatch(word)
        if match and (":" in word or sheet.word(i - 1) in ("at", "to", "by", "time", "around", "for")
                      or sheet.word(i + 1) in ("am", "pm", "o'clock")):
            hour, minute = int(match.group(1)), int(match.group(2) or 0)
        elif word in _HOURS and sheet.word(i - 1) in ("at", "to", "by", "around"):
            hour = _HOURS[word]
        if hour is not None and hour < 24 and minute < 60:
            after_noon = sheet.word(i + 1) == "pm" or (late and sheet.word(i + 1) != "am")
            found["time"] = f"{hour + 12 if after_noon and hour < 12 else hour:02d}:{minute:02d}"
            break
    if "time" not in found and any(w in words for w in ("morning", "evening")):
        found["time"] = "08:00" if "morning" in words else "18:00"
    return found
