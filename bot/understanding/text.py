"""Clean a message and cut it into tokens."""

from __future__ import annotations

import html
import re
import unicodedata
from dataclasses import dataclass

#: What is kept of a message, and what of it is read closely: a gardener's message is never longer.
KEEP = 10_000
READ = 1_200
MOST_TOKENS = 220

_TAG = re.compile(r"<[^<>]{0,200}>")
_QUOTES = str.maketrans({"\u2018": "'", "\u2019": "'", "\u02bc": "'", "`": "'", "\u00b4": "'", "\u201c": '"',
                         "\u201d": '"', "\u2013": "-", "\u2014": " - ", "\u2212": "-", "\u2026": "... ", "\u00d7": "x",
                         "\u00a0": " ", "\u00ba": "\u00b0"})
_FRACTION = re.compile(r"(\d*)\s?([\u00bc-\u00be\u2150-\u215e])")
#: The point of "bed no. 3" and "no.3", and of a day such as "04.06." that begins with a nought: none of them ends a sentence.
_NUMBER_POINT = re.compile(r"\b((?:beds?|plots?) ?(?:no|nr|nos))\.\s*(?=\d)|\b(no|nr|nos)\.(?=\d)", re.IGNORECASE)
_DOTTED_DAY = re.compile(r"(?<![\d.,])(0[1-9]|[12]\d|3[01])\.(0[1-9])\.(?!\d)|(?<![\d.,])(0[1-9])\.(0[1-9]|1[0-2])\.(?!\d)")
_LETTER_RUN = re.compile(r"([a-z])\1{3,}", re.IGNORECASE)
_TOKEN = re.compile(
    r"""
      \d{4}-\d{1,2}-\d{1,2}\b                       # an ISO date
    | \d{1,2}[/.]\d{1,2}[/.]\d{2,4}\b               # 3/9/25
    | \d{1,2}:\d{2}\b                               # a time
    | \d+(?:st|nd|rd|th)\b                          # an ordinal
    | \d{1,3}(?:,\d{3})+(?![\d,])                   # 1,500
    | \d+(?:\.\d+)?e[+-]?\d+\b                      # 1e309 is no amount
    | \d+[.,]\d+ | \.\d+ | \d+                      # a number
    | [^\W\d_]+(?:'[^\W\d_]+)*                      # a word, with its apostrophes
    | [?!.,;:/+&%\u00b0#"()\n=-]                    # marks that mean something
    """,
    re.VERBOSE | re.IGNORECASE,
)


@dataclass(slots=True)
class Token:
    """One word, number or mark. `word` is lower case and may be corrected; `raw` is as typed, lower case."""

    raw: str
    word: str
    start: int
    end: int
    kind: str  # word | number | mark
    glued: bool = False  # no space before it
    upper: bool = False  # typed with a capital first letter


def clean(text: str) -> str:
    """Return the message in plain characters on one or more lines: no control characters, tags, emoji or odd quotes.

    Vulgar fractions become decimals ("2½" is "2.5"), the day "04.06." becomes "04/06". At most KEEP characters are looked at.
    """
    text = html.unescape(text[:KEEP]).translate(_QUOTES)
    text = _FRACTION.sub(_decimal, text)
    text = unicodedata.normalize("NFKC", text)
    text = _TAG.sub(" ", text)
    kept = []
    for char in text:
        if char in "\n\t" or char == "\r":
            kept.append("\n" if char != "\t" else " ")
            continue
        group = unicodedata.category(char)
        kept.append(" " if group[0] == "C" or group in ("So", "Sk", "Mn") else char)
    text = _LETTER_RUN.sub(r"\1\1", "".join(kept))
    text = _NUMBER_POINT.sub(lambda m: f"{m[1] or m[2]} ", text)
    text = _DOTTED_DAY.sub(lambda m: f"{m[1] or m[3]}/{m[2] or m[4]}", text)
    text = re.sub(r"[^\S\n]+", " ", text)
    return re.sub(r"\s*\n\s*", "\n", text).strip()


def _decimal(match: re.Match[str]) -> str:
    value = unicodedata.numeric(match.group(2))
    whole = int(match.group(1)) if match.group(1) else 0
    return f" {whole + value:.3f}".rstrip("0").rstrip(".")


def tokenise(text: str) -> list[Token]:
    """Cut clean text into tokens.

    >>> [t.word for t in tokenise("Picked 2.3kg of beans, 4x8 bed")]
    ['picked', '2.3', 'kg', 'of', 'beans', ',', '4', 'x', '8', 'bed']
    """
    tokens: list[Token] = []
    last_end = -1
    for match in _TOKEN.finditer(text[:READ]):
        typed = match.group()
        lower = typed.lower()
        kind = ("word" if typed[0].isalpha()
                or "e" in lower[1:-1] and lower[0].isdigit() and not lower.endswith(("st", "nd", "rd", "th"))
                else "number" if lower[0].isdigit() or (lower[0] == "." and len(lower) > 1) else "mark")
        tokens.append(Token(lower, plain(lower) if kind == "word" else lower, match.start(), match.end(), kind,
                            match.start() == last_end, typed[0].isupper()))
        last_end = match.end()
        if len(tokens) >= MOST_TOKENS:
            break
    return tokens


def plain(word: str) -> str:
    """Return a lower-case word without accents and possessive ending."""
    if not word.isascii():
        word = "".join(c for c in unicodedata.normalize("NFD", word) if unicodedata.category(c) != "Mn")
    return word[:-2] if word.endswith("'s") else word.rstrip("'")


def words_of(name: str) -> tuple[str, ...]:
    """Return the words of a name as the tokeniser would cut them.

    >>> words_of("Cut-and-come-again"), words_of("jack-o'-lantern")
    (('cut', 'and', 'come', 'again'), ('jack', 'o', 'lantern'))
    """
    return tuple(t.word for t in tokenise(name) if t.kind != "mark")


#: Shorter names are said as they are.
_PLURAL_FROM = 4


def regular_plural(name: str) -> str:
    """Return the regular plural of a name that ends like a singular, else "".

    >>> regular_plural("red clover"), regular_plural("celery"), regular_plural("okras")
    ('red clovers', 'celeries', '')
    """
    if not name[-1:].isalpha() or name.endswith("s") or len(name) < _PLURAL_FROM:
        return ""
    if name.endswith(("ch", "sh", "x", "z")):
        return f"{name}es"
    return f"{name[:-1]}ies" if name.endswith("y") and name[-2] not in "aeiou" else f"{name}s"
