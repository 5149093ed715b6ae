"""Replies as Telegram HTML: nothing unescaped, nothing too long, nothing lost."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bot.channels.telegram.render import messages, plain, utf16_length
from bot.reply import Choice, Reply, Table
from tests.botapi.server import utf16, visible

words = st.text(alphabet=st.characters(blacklist_categories=("Cs", "Cc")), max_size=400)


@given(headline=words, lines=st.lists(words, max_size=8), cautions=st.lists(words, max_size=2))
def test_any_text_makes_sound_markup_within_the_limit(headline: str, lines: list[str], cautions: list[str]) -> None:
    reply = Reply(headline, lines=tuple(lines), cautions=tuple(cautions))
    for markup in messages(reply, limit=300):
        shown, fault = visible(markup)
        assert fault is None
        assert utf16(shown) <= 300
        assert shown == plain(markup)


def test_a_gardeners_angle_brackets_are_escaped() -> None:
    markup = messages(Reply("Noted: <b>slugs</b> & <script>"))[0]
    assert "<script>" not in markup
    assert plain(markup) == "Noted: <b>slugs</b> & <script>"


def test_every_word_of_a_long_reply_arrives_in_order() -> None:
    lines = tuple(f"line {n}: " + "leek " * 30 for n in range(60))
    parts = messages(Reply("Long.", lines=lines))
    assert len(parts) > 1
    text = "\n".join(plain(part) for part in parts)
    assert [line.strip() for line in text.splitlines()[1:]] == [line.strip() for line in lines]


def test_one_line_past_the_limit_is_cut_between_words() -> None:
    parts = messages(Reply("x", lines=("courgette " * 1000,)))
    text = " ".join(plain(part) for part in parts)
    assert set(text.split()) == {"x", "courgette"}
    assert text.split().count("courgette") == 1000


def test_table_stands_in_one_monospaced_block() -> None:
    markup = messages(Reply("Beds", table=Table(("Bed", "Crop"), (("Bed 1", "leeks"), ("Bed <2>", "beans")))))[0]
    assert markup.count("<pre>") == markup.count("</pre>") == 1
    assert "Bed &lt;2&gt;" in markup


def test_emoji_count_as_two_units() -> None:
    assert utf16_length("🌱" * 10) == utf16("🌱" * 10) == 20


def test_choices_are_no_part_of_the_text() -> None:
    assert "Bed 4" not in messages(Reply("Which bed?", choices=(Choice("Bed 4", "bed 4"),)))[0]
