"""Calendar words: months, weekdays, seasons, feasts and ordinals, and a date as said until it is resolved."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from bot.facts.loading import read_yaml
from bot.understanding.found import Sheet
from bot.understanding.lexicon import Lexicon, Trie

#: (today, past meant) -> first and last day
Resolver = Callable[[date, bool], tuple[date, date] | None]
ORDINALS = {"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "eighth": 8,
            "ninth": 9, "tenth": 10, "eleventh": 11, "twelfth": 12, "thirteenth": 13, "fourteenth": 14,
            "fifteenth": 15, "sixteenth": 16, "seventeenth": 17, "eighteenth": 18, "nineteenth": 19, "twentieth": 20,
            "thirtieth": 30}
_WAYS = {"last": -1, "past": -1, "previous": -1, "next": 1, "coming": 1, "following": 1, "this": 0, "current": 0}
#: (from, to) days of the month that a part of it covers
PARTS = {"early": (1, 10), "mid": (11, 20), "middle": (11, 20), "late": (21, 31), "beginning": (1, 10),
         "start": (1, 10), "end": (21, 31)}
#: Words before a name that make it a date: "in may", "late march".
LEADS = ("in", "on", "of", "last", "next", "this", "since", "until", "till", "by", "from", "for", "before", "after",
         "early", "late", "mid", "end", "during", "through", "to", "between", "around", "about", "every", "middle",
         "start", "beginning", "past", "previous", "coming", "come", "back", "til", "and", "each", "sown", "or", "year")


@dataclass(frozen=True, slots=True)
class Moment:
    """A date as said; `resolve` gives its days. `plain_today` for words that only mean now.

    `never` marks a date no calendar has, such as 31 February.
    """

    resolve: Resolver
    plain_today: bool = False
    weekday: int | None = None
    never: bool = False


NO_DAY = Moment(lambda today, past: None, never=True)


@dataclass(frozen=True, slots=True)
class Almanac:
    """The calendar words of one place. `region` tells day first from month first; `southern` turns the seasons.

    `shy` words are names of months and weekdays that are plain words too ("may", "sun").
    """

    lexicon: Lexicon
    months: dict[str, int]
    weekdays: dict[str, int]
    shy: set[str]
    seasons: dict[str, tuple[int, int]]
    feasts: Trie
    elsewhere: dict[str, dict[str, str]]
    region: str = "GB"
    southern: bool = False


#: A rule reads the date that starts at a token: the token after it and its moment, or None.
Rule = Callable[[Sheet, int, Almanac], tuple[int, Moment] | None]


def read_almanac(root: Path, lexicon: Lexicon) -> Almanac:
    """Read the calendar words below a knowledge folder. Raises KnowledgeError when they cannot be read."""
    words = read_yaml(root / "phrases" / "words" / "calendar.yaml", root)
    feasts = Trie()
    for name, day in words["feasts"].items():
        feasts.add(name, day)
    return Almanac(
        lexicon=lexicon,
        months={w: int(n) for n, forms in words["months"].items() for w in forms},
        weekdays={w: int(n) for n, forms in words["weekdays"].items() for w in forms},
        shy=set(words["shy"]),
        seasons={k: (int(v[0]), int(v[1])) for k, v in words["seasons"].items()},
        feasts=feasts,
        elsewhere=words["elsewhere"],
    )


def way_of(word: str) -> int | None:
    """Return -1 for "last", 0 for "this", 1 for "next" and words that mean the same; None for other words."""
    return _WAYS.get(word)


def ordinal(sheet: Sheet, at: int) -> int | None:
    """Read "3rd", "third" or "twenty first" at a token as a number; None when it is no ordinal."""
    word = sheet.word(at)
    if word in ORDINALS:
        return ORDINALS[word]
    if word in ("twenty", "thirty") and sheet.word(at + 1) in ORDINALS:
        return {"twenty": 20, "thirty": 30}[word] + ORDINALS[sheet.word(at + 1)]
    if word[:1].isdigit() and word[-2:] in ("st", "nd", "rd", "th") and word[:-2].isdigit():
        value = int(word[:-2])
        return value if 1 <= value <= 31 else None
    return None
