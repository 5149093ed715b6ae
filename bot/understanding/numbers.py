"""Read a number at a position: figures, fractions and number words."""

from __future__ import annotations

from dataclasses import dataclass

from bot.understanding.found import Sheet
from bot.understanding.lexicon import Lexicon

_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90}
_TEENS = {"thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16, "seventeen": 17, "eighteen": 18, "nineteen": 19}
_BIG = {"hundred": 100, "thousand": 1000}
#: What follows "third" where it is a share: "a third of a row", and no third row.
_OF_WHOLE = ("of", "a", "an", "the")
_PARTS = {"half": 0.5, "quarter": 0.25, "quarters": 0.25, "third": 1 / 3, "thirds": 1 / 3}
#: Number words that begin a number of their own and never run on one ("twenty a", "two few").
_NEW_NUMBERS = ("a", "an", "half", "quarter", "third", "couple", "few", "several", "pair", "brace", "dozen")


@dataclass(frozen=True, slots=True)
class Number:
    """A number read from tokens up to `end`; `vague` for "a few"; `article` when it was only "a"."""

    value: float
    end: int
    vague: bool = False
    article: bool = False
    digits: bool = False


def figure(word: str) -> float | None:
    """Return the value of figures as typed: "2.5", "2,5", "1,500".

    >>> figure("2,5"), figure("1,500"), figure("x")
    (2.5, 1500.0, None)
    """
    if not word or len(word) > 12 or not (word[0].isdigit() or word[0] == "."):
        return None
    if "," in word:
        head, tail = word.rsplit(",", 1)
        word = head.replace(",", "") + ("" if len(tail) == 3 else ".") + tail
    try:
        return float(word)
    except ValueError:
        return None


def spelled(words: list[str]) -> float | None:
    """Return the value of number words, by text2num when there is more than one."""
    from text_to_num import text2num  # type: ignore[import-untyped]

    try:
        return float(text2num(" ".join(words), "en"))
    except ValueError:
        return None


def lone_numbers(sheet: Sheet, start: int, end: int, lexicon: Lexicon) -> list[tuple[int, Number]]:
    """Return the numbers among the tokens [start, end) that belong to no slot, each with the token it starts at; "a" is none."""
    found, i = [], start
    while i < end:
        number = read_number(sheet, i, lexicon) if sheet.at(i) is None else None
        if number is not None and not number.article:
            found.append((i, number))
            i = number.end
        else:
            i += 1
    return found


def read_number(sheet: Sheet, at: int, lexicon: Lexicon) -> Number | None:
    """Read the number that starts at token `at`, or return None."""
    tokens = sheet.tokens
    if at >= len(tokens):
        return None
    token = tokens[at]
    if token.kind == "number":
        return _figures(sheet, at)
    word = token.word
    small = lexicon.numbers.get(word, _TEENS.get(word, _TENS.get(word)))
    if (small is None and word not in _BIG and word not in _PARTS) or (word == "third" and sheet.word(at + 1) not in _OF_WHOLE):
        return None
    if word in ("a", "an"):
        return _after_article(sheet, at, lexicon)
    if word in _PARTS:
        return _part(sheet, at, 1.0)
    if word == "dozen":
        return _dozens(sheet, at + 1, 1.0)
    if word in ("couple", "few", "several", "pair", "brace"):
        return Number(lexicon.numbers[word], _past_of(sheet, at + 1), word in ("few", "several"))
    run = [word]
    i = at + 1
    while i < len(tokens) and (tokens[i].word in _BIG or tokens[i].word in _TENS or tokens[i].word in _TEENS
                               or (tokens[i].word in lexicon.numbers and tokens[i].word not in _NEW_NUMBERS)
                               or (tokens[i].word == "and" and run[-1] in _BIG)
                               or (tokens[i].word == "-" and tokens[i].glued)):
        if tokens[i].word != "-":
            run.append(tokens[i].word)
        i += 1
    if run[-1] == "and":
        run.pop()
        i -= 1
    value = small if len(run) == 1 and small is not None else spelled(run)
    if value is None:
        value, i = small, at + 1
    if value is None:
        return None
    return _fraction_tail(sheet, Number(float(value), i), lexicon)


def _figures(sheet: Sheet, at: int) -> Number | None:
    value = figure(sheet.tokens[at].word)
    if value is None:
        return None
    i = at + 1
    if sheet.word(i) == "/" and figure(sheet.word(i + 1)) and value == int(value):
        bottom = figure(sheet.word(i + 1)) or 1.0
        if value < bottom <= 16:
            return Number(value / bottom, i + 2, digits=True)
    top, bottom_ = figure(sheet.word(i)), figure(sheet.word(i + 2))
    if top and bottom_ and sheet.word(i + 1) == "/" and top < bottom_ <= 16:
        return Number(value + top / bottom_, i + 3, digits=True)
    number = Number(value, i, digits=True)
    if sheet.word(i) == "dozen":
        return _dozens(sheet, i + 1, value)
    times = (figure(sheet.word(i + 2)) if sheet.word(i) in ("lots", "batches", "groups") and sheet.word(i + 1) == "of"
             else None)
    if times is not None:
        return Number(value * times, i + 3, digits=True)
    if sheet.word(i) == "and" and sheet.word(i + 1) == "a" and sheet.word(i + 2) in _PARTS:
        return Number(value + _PARTS[sheet.word(i + 2)], i + 3, digits=True)
    return number


def _fraction_tail(sheet: Sheet, number: Number, lexicon: Lexicon) -> Number:
    """Add "and a half", take "quarters of a", "dozen", "point five"."""
    i, value = number.end, number.value
    word = sheet.word(i)
    if word == "and" and sheet.word(i + 1) == "a" and sheet.word(i + 2) in _PARTS:
        return Number(value + _PARTS[sheet.word(i + 2)], i + 3)
    if word == "and" and sheet.word(i + 1) in ("half", "quarter") and sheet.word(i + 2) in lexicon.unit_trie.root:
        return Number(value + _PARTS[sheet.word(i + 1)], i + 2)  # "two and half kilos"
    if word == "dozen":
        return _dozens(sheet, i + 1, value)
    if word in ("lots", "batches", "groups") and sheet.word(i + 1) == "of":
        each = read_number(sheet, i + 2, lexicon)
        if each is not None and not each.article:
            return Number(value * each.value, each.end)
    if word == "point" and sheet.word(i + 1) in lexicon.numbers:
        digits, j = "", i + 1
        while (sheet.word(j) in lexicon.numbers and lexicon.numbers[sheet.word(j)] < 10
                and sheet.word(j) not in ("a", "an")):
            digits += str(int(lexicon.numbers[sheet.word(j)]))
            j += 1
        return Number(value + float(f"0.{digits}"), j) if digits else number
    if word in ("quarters", "thirds") or (word == "quarter" and value == 3) or (word == "third" and value == 2 and sheet.word(i + 1) in _OF_WHOLE):
        return _part(sheet, i, value)
    if word == "and" and sheet.word(i + 1) in lexicon.numbers and sheet.word(i + 2) in ("quarter", "quarters", "third", "thirds"):
        return Number(value + lexicon.numbers[sheet.word(i + 1)] * _PARTS[sheet.word(i + 2)], i + 3)  # "two and three quarter pounds"
    return number


def _after_article(sheet: Sheet, at: int, lexicon: Lexicon) -> Number:
    word = sheet.word(at + 1)
    if word in _PARTS and (word != "third" or sheet.word(at + 2) in _OF_WHOLE):
        return _part(sheet, at + 1, 1.0)
    if word == "dozen":
        return _dozens(sheet, at + 2, 1.0)
    if word in ("couple", "few", "pair", "brace"):
        return Number(lexicon.numbers[word], _past_of(sheet, at + 2), word == "few")
    if word == "score":
        return Number(20.0, _past_of(sheet, at + 2))
    if word in ("good", "wee", "small", "big") and sheet.word(at + 2) in ("couple", "few", "dozen"):
        return Number(lexicon.numbers[sheet.word(at + 2)], _past_of(sheet, at + 3), True)
    if word in _BIG:
        return Number(float(_BIG[word]), at + 2)
    return Number(1.0, at + 1, article=True)


def _dozens(sheet: Sheet, at: int, many: float) -> Number:
    """Read on after "dozen": "dozen and a half" is eighteen."""
    if sheet.word(at) == "and" and sheet.word(at + 1) == "a" and sheet.word(at + 2) in _PARTS:
        return Number(12 * (many + _PARTS[sheet.word(at + 2)]), at + 3)
    return Number(12 * many, _past_of(sheet, at))


def _part(sheet: Sheet, at: int, times: float) -> Number:
    """Read "half a", "quarter of a", "half"."""
    value = times * _PARTS[sheet.word(at)]
    i = _past_of(sheet, at + 1)
    if sheet.word(i) in ("a", "an", "the"):
        i += 1
    if sheet.word(i) == "dozen":
        return Number(value * 12, _past_of(sheet, i + 1))
    return Number(value, i)


def _past_of(sheet: Sheet, at: int) -> int:
    return at + 1 if sheet.word(at) == "of" else at
