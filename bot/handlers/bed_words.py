"""Read a growing place out of a message: its kind, light, name and sides."""

from __future__ import annotations

import re

from bot.plot.state import Bed
from bot.wording import M_PER_FOOT, capital

_NAME = re.compile(
    r"(?:\bcalled|\bcald|\bnamed?|\bcall (?:it|this|that)|\brename[d]? .*? (?:to|as)|\bis now|\bknown as)\s+"
    r"(?:the\s+)?[\"“'‘]?([\w][\w '’-]{0,30}?)[\"”'’]?\s*(?:[,.;]|$|\b(?:it'?s|is|which|with|size|of|at|"
    r"\d[\d.]*\s*(?:m\b|x\b|by\b|ft|feet|cm|')))",
    re.IGNORECASE,
)
SIDE = re.compile(
    r"(\d+(?:\.\d+)?)\s*(m|metres?|meters?|cm|ft|foot|feet|')?\s*(?:wide|long|across|broad|in length|in width)\b",
    re.IGNORECASE,
)
#: What sort of bed it is does for a name: "a raised bed, 1.2 x 2.4".
_SORT = re.compile(r"\b(raised|top|bottom|back|front|side|middle|corner|long|narrow|herb|salad|root|bean|onion|potato|asparagus|nursery) bed\b", re.IGNORECASE)
_QUOTED = re.compile(r"[\"“]([^\"”]{1,30})[\"”]")
_CALL = re.compile(
    r"\b(?:call|name)\s+(?:the\s+)?(?P<old>.+?)\s+[\"“]?(?P<new>[A-Z][\w'’-]*(?: [\w'’-]+){0,3})[\"”]?\s*[.!]?$"
)
_NUMBER = re.compile(
    r"\b(?:bed\s+(?:number\s+|no\.?\s*)?|number\s+|no\.?\s*)"
    r"(\d{1,3}|one|two|three|four|five|six|seven|eight|nine|ten)\b"
    r"(?!\s*(?:m|cm|ft|feet|foot|met|x|by|\.|'))",
    re.IGNORECASE,
)
_DIGITS = {
    w: str(n) for n, w in enumerate(("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"), 1)
}
#: Words -> kind of growing place and the cover it brings.
_KINDS: tuple[tuple[str, str, str | None], ...] = (
    (r"poly ?tunnel|\btunnel\b|hoop ?house", "tunnel", "polytunnel"),
    (r"green ?house|glass ?house", "greenhouse", "greenhouse"),
    (r"cold ?frame|\bframe\b", "frame", "cold-frame"),
    (r"\bpots?\b|\bcontainers?\b|\btubs?\b|\bplanters?\b", "container", None),
    (r"\bborder\b", "border", None),
    (r"\bfruit\b|\borchard\b", "fruit", None),
)
_SHADE: tuple[tuple[str, str], ...] = (
    (r"\b(?:full|all day|deep|complete) shade\b|\bno sun\b|\bnever (?:gets|sees) (?:any |the )?sun\b|\bshaded all day\b|\bin shade all\b", "shade"),
    (
        r"\b(?:half|part|partial|semi|light|dappled)[- ]?(?:shade|shaded|sun)\b|\bshad(?:e|ed|y)\b|"
        r"\bafter (?:\d|noon|lunch)|\bfaces north\b",
        "part-shade",
    ),
    (r"\bfull sun\b|\bsunny\b|\bsun all day\b|\bin (?:the )?sun\b|\bfaces south\b|\bsouth[- ]facing\b", "sun"),
)


def metres(found: re.Match[str]) -> float:
    """Return a length as typed in metres, from a match of the figure and its unit (metres when none is given)."""
    unit = (found.group(2) or "m").lower()
    return float(found.group(1)) * (M_PER_FOOT if unit.startswith(("f", "'")) else 0.01 if unit == "cm" else 1.0)


def kind_said(text: str) -> tuple[str, str | None]:
    """Return the kind of bed a message tells of and its cover; an open bed when it says nothing."""
    lowered = text.lower()
    for pattern, kind, cover in _KINDS:
        if re.search(pattern, lowered):
            return kind, cover
    return "bed", None


def light_said(text: str) -> str | None:
    """Return the light a message tells of, None when it says nothing."""
    lowered = text.lower()
    return next((light for pattern, light in _SHADE if re.search(pattern, lowered)), None)


def name_said(text: str) -> str | None:
    """Return the name a message gives, quoted or after a word like "called"; None when it gives none."""
    quoted = _QUOTED.search(text)
    if quoted:
        return tidy(quoted.group(1))
    named = _NAME.search(text)
    return tidy(named.group(1)) if named else None


def new_name(text: str, bed: Bed) -> str | None:
    """Return the new name a message gives a bed, when it gives one."""
    if not re.search(r"\b(?:rename|call(?:ed)?|cald|name[d]?|known as)\b", text, re.IGNORECASE):
        return None
    name = name_said(text)
    if name is None:
        found = _CALL.search(text)
        name = tidy(found.group("new")) if found else None
    own = {bed.name.lower(), *(n.lower() for n in bed.nicknames)}
    return name if name and name.lower() not in own else None


def tidy(name: str) -> str | None:
    """Return a name as it is kept: its first letter large, no marks; None when nothing is left."""
    cleaned = re.sub(r"[^\w '’-]", "", name).strip(" '’-")
    return (capital(cleaned))[:30] if cleaned else None


def sort_said(text: str) -> str | None:
    """Return the sort of bed a message speaks of as a name: "Raised bed"."""
    found = _SORT.search(text)
    return f"{found.group(1).capitalize()} bed" if found else None


def numbered(text: str) -> str | None:
    """Return "Bed 3" for the number a message gives a bed, None when it gives none."""
    found = _NUMBER.search(text)
    return f"Bed {_DIGITS.get(found.group(1).lower(), found.group(1))}" if found else None
