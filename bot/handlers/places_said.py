"""Read the growing places a message sets up: "4 raised beds 4x8 ft and a greenhouse", "beds: A 1x2, B 1x2"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from bot.handlers.bed_words import light_said, sort_said, tidy

#: The sizes found in a message, in its order: each as typed, and in metres.
Sizes = Sequence[tuple[str, tuple[float, float]]]
#: More of one sort than this in one message is a slip of the finger.
MOST = 40
#: What a growing place is called -> its kind, the cover it brings, what one of it is named.
_NOUNS: tuple[tuple[str, str, str | None, str], ...] = (
    (r"hoop ?houses?(?: beds?)?", "tunnel", "polytunnel", "Hoop house"),
    (r"(?:poly ?|high )?tunnels?(?: beds?)?", "tunnel", "polytunnel", "Tunnel"),
    (r"glass ?houses?(?: beds?)?", "greenhouse", "greenhouse", "Glasshouse"),
    (r"green ?houses?(?: beds?)?", "greenhouse", "greenhouse", "Greenhouse"),
    (r"(?:cold ?)?frames?", "frame", "cold-frame", "Cold frame"),
    (r"shade ?houses?", "bed", None, "Shade house"),
    (r"fruit cages?", "fruit", None, "Fruit cage"),
    (r"orchards?", "fruit", None, "Orchard"),
    (r"window ?box(?:es)?", "container", None, "Window box"),
    (r"pots?", "container", None, "Pot"),
    (r"containers?", "container", None, "Container"),
    (r"planters?", "container", None, "Planter"),
    (r"tubs?", "container", None, "Tub"),
    (r"borders?", "border", None, "Border"),
    (r"patch(?:es)?", "bed", None, "Patch"),
    (r"beds?", "bed", None, "Bed"),
)
_FIGURES = {w: n for n, w in enumerate(("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
                                        "eleven", "twelve"), 1)}
_FIGURES |= {"a": 1, "an": 1, "another": 1, "couple": 2, "pair": 2}
_WORDS = "|".join(_FIGURES)
_PLACE = re.compile(
    rf"(?:\b(?P<count>\d{{1,2}}|{_WORDS}|the|those)\s+(?:of\s+)?)?(?:x\s+)?"
    # What sort it is; a word that begins or joins a phrase is none.
    rf"(?P<sort>(?:\b(?!(?:{_WORDS}|the|those|and|plus|with|or|is|are|has|have|got|there'?s?|i|we|my|our|each|all|in|by|"
    rf"to|for|of|add|new|called)\b)[^\W\d][\w'’-]*\s+|\x00\d+\x00\s+){{0,3}}?)"
    rf"\b(?P<noun>{'|'.join(n for n, *_ in _NOUNS)})\b"
    r"(?P<after>\s*:?\s*(?:x\s*)?\d{1,2}(?=\s*(?:$|[,.;]|and\b)))?",
    re.IGNORECASE)
#: A place that only says where another one is: "a bed next to the greenhouse".
_WHERE = re.compile(
    r"\b(?:in|inside|under|of|by|near|behind|beside|to|along|against|from|outside|at|on)\s+(?:the|my|our|a|an)?\s*$",
    re.IGNORECASE)
_CALLED = re.compile(r"\b(?:called|cald|named?|known as)\s*:?\s*", re.IGNORECASE)
#: Where names end: at a size, the end of a sentence, or words that go on to something else.
_NAMES_END = re.compile(
    r"\x00|[.;\n]|$|,?\s*\b(?:each|all|both|plus|it'?s|they|is|are|which|that|with|of|at|size|"
    rf"and (?:(?:a|an|another|\d+|{_WORDS}|the) ))\b", re.IGNORECASE)
_SPLIT = re.compile(r"\s*(?:,|&|\+|\band\b)\s*(?:and\s+)?", re.IGNORECASE)
#: "bed 1, 2 and 3", "beds 1 to 4", "bed A", "bed North bed", read right after the word bed.
_NUMBERS = re.compile(
    r"\s*(?:number\s+|no\.?\s*)?(?P<all>\d{1,3}(?:\s*(?:,|and|&|to|-)\s*(?:bed\s+)?\d{1,3}\b)*)"
    r"(?!\s*(?:m|cm|ft|feet|'|\.\d))\b", re.IGNORECASE)
_TITLE = re.compile(r"\s+(?P<name>[A-Z](?![\w'’])|[A-Z][\w'’-]+(?:\s+(?:[A-Z][\w'’-]*|bed|border|patch)(?![\w'’]))*)")
_HEADING = re.compile(
    rf"^\W*(?:(?:the|my|our|new|add|these|are|here|raised|\d{{1,2}}|{_WORDS})\s+)*beds?\s*:\s*", re.IGNORECASE)
_EVERY = re.compile(r"^\W*(?:each|all|both|all of them)(?: are| is)?\s*\x00", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Place:
    """One growing place a message sets up, what it is in `base`; `name` None when none was said, `size` in metres."""

    kind: str
    cover: str | None
    base: str
    name: str | None = None
    size: tuple[float, float] | None = None
    light: str | None = None


def places_said(text: str, sizes: Sizes = ()) -> tuple[Place, ...]:
    """Return the growing places a message sets up, in its order; none when it only speaks of "beds" without a number.

    `sizes` are the sizes found in the message, as typed and in metres, in its order.
    """
    masked = _masked(text, sizes)
    listed = _listed(masked, sizes)
    if listed:
        return listed
    whole, names_at = _names_out(_HEADING.sub("", masked))
    found = [hit for hit in _PLACE.finditer(whole) if not _WHERE.search(whole[: hit.start()])]
    places: list[Place] = []
    read = 0  # up to here the names of a bed went: "bed 1 and bed 2" is one noun with two numbers
    for n, hit in enumerate(found):
        if hit.start("noun") < read:
            continue
        end = found[n + 1].start() if n + 1 < len(found) else len(whole)
        rest = whole[hit.end():end]
        size = _size_of(hit["sort"], sizes) or _size_of(rest, sizes)
        kind, cover, base = _sort_of(hit["noun"])
        alike = [k for k, p in enumerate(places) if p.kind == kind and p.size is None]
        if (hit["count"] or "").lower() in ("the", "those") and alike and size is not None:
            for k in alike:  # "4 raised beds and a greenhouse, the beds are 8ft by 4ft"
                places[k] = replace(places[k], size=size)
            continue
        if size is not None and re.match(r"[^\x00]*\b(?:each|all)\b", rest):
            places = [replace(p, size=size) if p.size is None and p.kind == kind else p for p in places]
        names, read = _names_after(whole, hit, rest, names_at)
        light = light_said(hit["sort"] + whole[read:max(read, end)])
        if base == "Shade house":
            light = light or "part-shade"
        if base == "Bed":
            base = sort_said(f"{hit['sort']}bed") or base
        if base == "Patch" and hit["sort"].strip():
            base = f"{hit['sort'].split()[-1].capitalize()} patch"
        counted = (hit["count"] or "").lower() not in ("", "a", "the", "those") or hit["after"]
        if kind == "container" and hit["noun"].lower().endswith("s") and not counted:  # "a few pots" are one place
            base += "es" if base.endswith("x") else "s"
        many = max(_count(hit), len(names))
        one = Place(kind, cover, base, None, size, light)
        places += [replace(one, name=names[k] if k < len(names) else None) for k in range(min(many, MOST + 1))]
    return tuple(places)


def _masked(text: str, sizes: Sizes) -> str:
    """Return the text with each size as a mark of its number, so that no figure of it is read as a name or a count."""
    done, left = "", text
    for n, (said, _) in enumerate(sizes):
        before, found, after = left.partition(said)
        if found:
            done, left = f"{done}{before} \x00{n}\x00 ", after
    return done + left


def _size_of(text: str, sizes: Sizes) -> tuple[float, float] | None:
    mark = re.search(r"\x00(\d+)\x00", text)
    return sizes[int(mark[1])][1] if mark else None


def _listed(masked: str, sizes: Sizes) -> tuple[Place, ...]:
    """Return the beds of a list under a heading: "Beds: A 1x2, B 1x2, C 2x2"."""
    if not _HEADING.match(masked):
        return ()
    items = [item for item in re.split(r"\s*(?:,|;|\n|\band\b)\s*", _HEADING.sub("", masked)) if item.strip()]
    places: list[Place] = []
    for item in items:
        if _EVERY.match(item):  # "Top, Middle, Bottom, all 1.2 x 3 m"
            places = [replace(p, size=p.size or _size_of(item, sizes)) for p in places]
            continue
        name = tidy(item.split("\x00")[0])
        size = _size_of(item, sizes)
        if name is None or (size is None and len(items) == 1) or len(name.split()) > 3:
            return ()
        places.append(Place("bed", None, "Bed", name, size, light_said(item.split("\x00")[-1])))
    return tuple(places) if len(places) > 1 else ()


def _names_out(masked: str) -> tuple[str, dict[int, str]]:
    """Return the text with what follows "called" taken out, and what that was by its mark."""
    said: dict[int, str] = {}
    at = 0
    while (called := _CALLED.search(masked, at)) is not None:
        end = _NAMES_END.search(masked, called.end())
        stop = end.start() if end else len(masked)
        said[len(said)] = masked[called.end():stop]
        mark = f"\x01{len(said) - 1}\x01 "
        masked = masked[:called.start()] + mark + masked[stop:]
        at = called.start() + len(mark)
    return masked, said


def _names_after(whole: str, hit: re.Match[str], rest: str, said: dict[int, str]) -> tuple[list[str], int]:
    """Return the names a message gives the places of one noun, and where in it they end."""
    mark = re.search(r"\x01(\d+)\x01", rest)
    if mark:
        names = said[int(mark[1])]
        plural = _count(hit) > 1 or hit["noun"].lower().endswith("s")
        parts = _SPLIT.split(names) if plural else [names]
        bare = [re.sub(r"^\W*the\s+", "", part, flags=re.IGNORECASE) for part in parts]
        return [name for part in bare if (name := tidy(part))], hit.end()
    if not re.fullmatch(r"beds?", hit["noun"], re.IGNORECASE):
        return [], hit.end()
    numbers = _NUMBERS.match(whole, hit.end("noun"))
    if numbers:
        figures = [int(f) for f in re.findall(r"\d+", numbers["all"])]
        if re.fullmatch(r"\d+\s*(?:to|-)\s*\d+", numbers["all"]) and figures[0] < figures[1] <= figures[0] + MOST:
            figures = list(range(figures[0], figures[1] + 1))
        return [f"Bed {figure}" for figure in figures], numbers.end()
    title = _TITLE.match(whole, hit.end("noun"))
    if title:
        name = title["name"]
        return [f"Bed {name}" if len(name) == 1 else name], title.end()
    before = hit["sort"].split()
    # "add North bed 4 x 8 ft": a capital in the middle of a message makes a name of it.
    if before and hit.start("sort") > 0 and before[-1][:1].isupper() and before[-1].lower() != "raised":
        return [f"{before[-1]} bed"], hit.end()
    return [], hit.end()


def _sort_of(noun: str) -> tuple[str, str | None, str]:
    return next((kind, cover, base) for pattern, kind, cover, base in _NOUNS
                if re.fullmatch(pattern, noun, re.IGNORECASE))


def _count(hit: re.Match[str]) -> int:
    """Return how many of a noun are meant; 0 for "beds" without a number."""
    word = (hit["count"] or "").lower()
    if word.isdigit() or word in _FIGURES:
        return int(word) if word.isdigit() else _FIGURES[word]
    after = re.search(r"\d+", hit["after"] or "")
    plural = hit["noun"].lower().endswith("s")
    if after and plural and not hit["noun"].lower().startswith("bed"):
        return int(after[0])  # "window boxes 2"
    if plural and hit["noun"].lower().startswith("bed"):
        return 0
    return 1


def beds_uncounted(text: str) -> bool:
    """Tell whether a message speaks of "my beds" without saying how many they are."""
    return any(hit["noun"].lower() == "beds" and _count(hit) == 0 for hit in _PLACE.finditer(_HEADING.sub("", text)))


def names_a_place(text: str) -> bool:
    """Tell whether a message speaks of any growing place."""
    return _PLACE.search(text) is not None
