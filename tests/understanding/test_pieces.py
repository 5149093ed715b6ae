"""Words are cut into the longest pieces that are known."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bot.understanding.pieces import CLOSES, HIDDEN, OPENS, UNKNOWN, Pieces

PIECES = Pieces([UNKNOWN, HIDDEN, OPENS, CLOSES, "bean", "##s", "##stalk", "b", "##e", "2", "kg", "?"])


@pytest.mark.parametrize(("text", "pieces"), [
    ("beans", ["bean", "##s"]),
    ("beanstalks", ["bean", "##stalk", "##s"]),
    ("be", ["b", "##e"]),
    ("2 kg?", ["2", "kg", "?"]),
    ("leek", [UNKNOWN]),
    ("", [HIDDEN]),
    ("beans " * 20, ["bean", "##s"] * 6),
])
def test_the_longest_piece_comes_first(text: str, pieces: list[str]) -> None:
    """As the greedy longest match first of WordPiece (Wu and others, arXiv 1609.08144) cuts them."""
    assert [PIECES.names[n] for n in PIECES.of(text)] == pieces


@given(st.text(max_size=60))
def test_any_text_can_be_cut(text: str) -> None:
    found = PIECES.of(text.lower())
    assert 0 < len(found) <= 12 and all(0 <= n < len(PIECES.names) for n in found)


def test_the_pieces_of_a_word_join_to_the_word() -> None:
    joined = "".join(PIECES.names[n].removeprefix("##") for n in PIECES.of("beanstalks"))
    assert joined == "beanstalks"
