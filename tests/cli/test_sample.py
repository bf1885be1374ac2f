"""The demo without a window, called from inside: what its pictures are made of."""

from __future__ import annotations

from kilnlog.cli.sample import CHARGE, do_without_window
from kilnlog.logbook.demo import SAMPLE_NAME
from kilnlog.logbook.session import open_logbook


def weights_in(path):
    book = open_logbook(path, read_only=True)
    try:
        charge = book.charge_numbered(CHARGE).entity
        return len(book.file.entries("weighing", charge=charge))
    finally:
        book.close()


def test_the_pictures_show_the_round_still_waiting(tmp_path, monkeypatch, built, capsys):
    drawn = []

    def save_pictures(folder, path):
        drawn.append((folder, weights_in(path)))
        yield folder / "boards.png"

    monkeypatch.setattr("kilnlog.cli.offscreen.cannot_draw", lambda: None)
    monkeypatch.setattr("kilnlog.ui.pictures.save_pictures", save_pictures)
    folder = tmp_path / "demo"
    do_without_window(folder)
    assert drawn == [(folder / "pictures", weights_in(built))]
    assert weights_in(folder / SAMPLE_NAME) == weights_in(built) + 8
    assert sorted(path.name for path in folder.iterdir()) == [f"{CHARGE}.xlsx", SAMPLE_NAME, "status.txt"]
    assert f"picture: {folder / 'pictures' / 'boards.png'}" in capsys.readouterr().out
