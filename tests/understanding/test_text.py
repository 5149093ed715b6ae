"""Cleaning and cutting of messages."""

from __future__ import annotations

import pytest

from bot.understanding.text import KEEP, MOST_TOKENS, clean, tokenise, words_of


@pytest.mark.parametrize(
    ("typed", "plain"),
    [
        ("picked 2½ kg", "picked 2.5 kg"),
        ("½ a bag", "0.5 a bag"),
        ("<b>leeks</b> &amp; peas", "leeks & peas"),
        ("don\u2019t", "don't"),
        ("leeks \U0001f96c please", "leeks please"),
        ("a\x00b\x07c", "a b c"),
        ("heeeeelp", "heelp"),
        ("4\u00d78 bed", "4x8 bed"),
    ],
)
def test_clean_keeps_the_words(typed: str, plain: str) -> None:
    assert clean(typed) == plain


def test_a_very_long_message_is_cut_and_read_only_so_far() -> None:
    long = "leeks " * 5000
    assert len(clean(long)) <= KEEP
    assert len(tokenise(clean(long))) <= MOST_TOKENS


def test_units_and_figures_come_apart() -> None:
    assert [t.word for t in tokenise("2lb 4oz, 3rd row, 12:30, 2026-09-03")] == [
        "2", "lb", "4", "oz", ",", "3rd", "row", ",", "12:30", ",", "2026-09-03"]


def test_a_name_is_cut_as_a_message_is() -> None:
    assert words_of("Mange-tout") == ("mange", "tout")
    assert words_of("frisée") == ("frisee",)
