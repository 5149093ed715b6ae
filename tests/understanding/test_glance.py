"""Reading a whole message at one glance."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from bot.handlers.context import Memory
from bot.understanding import PlotNames, Understander
from bot.understanding.found import Sheet
from bot.understanding.glance import MOST, Glance, Glances, SeenByAll, load, save, words_at
from bot.understanding.text import clean

NAMES = PlotNames(beds={"bed-1": ("Bed 1",), "bed-3": ("Bed 3",)})


def _sheet(reader: Understander, text: str) -> Sheet:
    return reader.sheet(clean(text), NAMES, "GB")[0]


def _look(reader: Understander, text: str) -> tuple[Sheet, SeenByAll]:
    sheet = _sheet(reader, text)
    seen = reader.look(sheet)
    assert seen is not None, "what was learned is not of the intents there are: python -m bot.understanding.learn --glance"
    return sheet, seen


def test_it_sees_what_each_stretch_is_of_and_where_the_next_begins(reader: Understander) -> None:
    sheet, seen = _look(reader, "sowed two rows of peas in bed 3, how far apart should leeks be")
    assert reader.glance is not None
    names, how = reader.glance.intents, next(i for i, t in enumerate(sheet.tokens) if t.word == "how")
    assert names[int(seen.odds(0, how).argmax())] == "log_sow"
    assert names[int(seen.odds(how, len(sheet.tokens)).argmax())] == "spacing"
    assert seen.begin(how) > 0 > max(seen.begin(at) for at in seen.tokens if at not in (0, how))


def test_chances_of_a_stretch_sum_to_one(reader: Understander) -> None:
    sheet, seen = _look(reader, "blanching time for broad beans")
    assert np.exp(seen.odds(0, len(sheet.tokens))).sum() == pytest.approx(1.0, abs=1e-3)


@pytest.mark.parametrize("text", ["", "?", "zzxq vorf", "picked beans and " * 200])
def test_any_message_can_be_looked_at(reader: Understander, text: str) -> None:
    sheet = _sheet(reader, text)
    seen = reader.look(sheet)
    assert seen is not None and len(seen.tokens) <= MOST
    assert np.isfinite(seen.begins).all() and np.isfinite(seen.odds(0, len(sheet.tokens))).all()
    assert not seen.odds(9000, 9001).any()


def test_a_slot_stands_in_one_place_and_its_kind_comes_first(reader: Understander) -> None:
    sheet = _sheet(reader, "picked 2 kg of runner beans from bed 3")
    assert [words[0] for _, words in words_at(sheet)] == ["picked", "<qty>", "of", "<crop>", "from", "<bed>"]


def test_what_was_learned_is_kept_and_refused_for_other_intents(reader: Understander, tmp_path: Path) -> None:
    assert reader.glance is not None
    path = tmp_path / "kept.npz"
    save(path, reader.glance)
    sheet = _sheet(reader, "when do I sow leeks")
    kept = load(path, reader.glance.intents)
    assert kept is not None
    assert np.allclose(kept.look(sheet, reader.lexicon).odds(0, 5), reader.glance.look(sheet, reader.lexicon).odds(0, 5))
    assert load(path, reader.glance.intents[:-1]) is None
    path.write_bytes(path.read_bytes()[:200])
    assert load(path, reader.glance.intents) is None


def test_without_it_messages_are_still_read(reader: Understander, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "glance", None)
    reading = reader.read("how far apart do leeks go", NAMES, Memory(), date(2026, 6, 17))
    assert [r.intent for r in reading.requests] == ["spacing"]


def test_several_are_believed_in_the_mean(reader: Understander) -> None:
    assert reader.glance is not None and len(reader.glance.each) > 1
    sheet = _sheet(reader, "how deep do broad beans go")
    one, two = (Glances((glance,)).look(sheet, reader.lexicon).odds(0, 6) for glance in reader.glance.each[:2])
    mean = Glances(reader.glance.each[:2]).look(sheet, reader.lexicon).odds(0, 6)
    assert not np.allclose(one, two) and np.exp(mean).sum() == pytest.approx(1.0, abs=1e-3)
    assert np.allclose(mean - (one + two) / 2, (mean - (one + two) / 2)[0], atol=1e-4)
    assert len(reader.glance.look(_sheet(reader, "picked beans and " * 40), reader.lexicon).each) == 1


def test_reading_runs_through_the_layers_that_were_learned(reader: Understander) -> None:
    """The layers in numpy give what PyTorch gives for them: an outside check, where the `learn` extra is installed."""
    torch = pytest.importorskip("torch")
    from bot.understanding import glance_school as school

    torch.manual_seed(3)
    sheet = _sheet(reader, "pulled the onions from bed 3, can kale follow them?")
    row = school._Row([words for _, words in words_at(sheet)], [(0, 0, 4)], [])
    words = school._Words([row] * 4, reader.marker)
    net = school._Net(len(words.index), 7).eval()
    for layer in net.layers:
        torch.nn.init.normal_(layer.apart)
    glance: Glance = school._kept(net, list("abcdefg"), words.index)
    ids, heft, starts = school._ids([row], len(row.words), words)
    with torch.no_grad():
        x: Any = net.look(torch.tensor(ids), torch.tensor(starts), torch.tensor(heft), torch.ones(1, len(row.words), dtype=torch.bool))
        wanted = net.odds(x, torch.tensor([0]), torch.tensor([0]), torch.tensor([len(row.words)])).log_softmax(-1)[0].numpy()
        begins = net.begin(x).squeeze().numpy()
    seen = glance.look(words_at(sheet), reader.lexicon)
    assert np.allclose(seen.odds(0, len(sheet.tokens)), wanted, atol=0.02) and np.allclose(seen.begins, begins, atol=0.02)
