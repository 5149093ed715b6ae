"""Weighing the ways to cut a message."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from bot.understanding import PlotNames, Understander
from bot.understanding.parting import Ways, parted
from bot.understanding.text import clean
from bot.understanding.ways import Laid, Weigher, load, save

NAMES = PlotNames(beds={"bed-1": ("Bed 1",), "bed-3": ("Bed 3",)})
SAID = "pulled the onions from bed 3, when do I sow kale"


def _laid(reader: Understander, text: str = SAID) -> tuple[list[tuple[int, ...]], Laid]:
    return Ways(reader, reader.sheet(clean(text), NAMES, "GB")[0]).laid()


def test_every_way_names_its_stretches_its_cuts_and_the_gaps_left_whole(reader: Understander) -> None:
    known, laid = _laid(reader)
    assert known[0] == () and len(known) == len(laid.ways)
    for way, (stretches, cuts, whole) in zip(known, laid.ways, strict=True):
        assert len(stretches) == len(way) + 1 and len(cuts) == len(way) and len(cuts) + len(whole) == len(laid.gaps)
        for pair, left, right in zip(cuts, stretches, stretches[1:], strict=False):
            assert tuple(laid.pairs[pair][1:3]) == (left, right)
    assert laid.rows.shape == (len(laid.intents), len(laid.rows[0])) and np.isfinite(laid.rows).all() and np.isfinite(laid.gaps).all()


def test_a_way_is_worth_the_sum_of_what_it_is_made_of() -> None:
    # One number a stretch, one a gap, one unit: a stretch is worth its number, a cut three times its gap, a gap left whole its number.
    layers = {"intent.weight": np.zeros((1, 1)), "lone.weight": np.array([[1.0], [0.0]]), "lone.bias": np.zeros(1), "lone_out.weight": np.ones((1, 1)),
              "lone_out.bias": np.zeros(1), "beside.weight": np.array([[0.0]] * 6 + [[3.0]]), "beside.bias": np.zeros(1), "beside_out.weight": np.ones((1, 1)),
              "beside_out.bias": np.zeros(1), "whole.weight": np.ones((1, 1)), "whole.bias": np.zeros(1)}
    laid = Laid(np.array([[1.0], [2.0], [4.0]]), np.zeros(3, int), np.array([[5.0]]), np.array([[0, 1, 2, 0]]), [([0], [], [0]), ([1, 2], [0], [])])
    assert Weigher(["none"], layers).worth(laid) == [1.0 + 5.0, 2.0 + 4.0 + 15.0]


def test_what_was_learned_is_kept_and_refused_for_other_intents(reader: Understander, tmp_path: Path) -> None:
    assert reader.ways is not None, "what was learned is not of the intents there are: python -m bot.understanding.learn --scales"
    save(tmp_path / "ways.npz", reader.ways)
    kept = load(tmp_path / "ways.npz", reader.ways.names)
    assert kept is not None and kept.worth(_laid(reader)[1]) == pytest.approx(reader.ways.worth(_laid(reader)[1]), abs=1e-4)
    assert load(tmp_path / "ways.npz", ["none"]) is None
    (tmp_path / "ways.npz").write_bytes(b"PK\x03\x04 cut short")
    assert load(tmp_path / "ways.npz", reader.ways.names) is None


def test_without_it_a_message_is_cut_gap_by_gap(reader: Understander, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reader, "ways", None)
    sheet = reader.sheet(clean(SAID), NAMES, "GB")[0]
    assert [part.ranked[0][0] for part in parted(reader, sheet)] == ["log_clear", "when_sow"]


def test_numpy_and_the_library_it_was_learned_with_agree(reader: Understander) -> None:
    torch = pytest.importorskip("torch")
    from bot.understanding.ways_school import _Net

    assert reader.ways is not None
    known, laid = _laid(reader)
    net = _Net(laid.rows.shape[1], laid.gaps.shape[1], len(reader.ways.names))
    net.load_state_dict({name: torch.tensor(layer if name == "intent.weight" or layer.ndim == 1 else layer.T) for name, layer in reader.ways.layers.items()})
    net.eval()
    with torch.no_grad():
        total, sizes = net.worth([laid, replace(laid)])
    assert sizes == [len(known)] * 2
    assert total.tolist() == pytest.approx(reader.ways.worth(laid) * 2, abs=1e-4)
