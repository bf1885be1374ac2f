"""A file that grows while it is watched: written in pieces, moved away, cut short, written anew."""

from __future__ import annotations

import hashlib
import random

import pytest

from kilnlog.exchange.logger import watched
from kilnlog.exchange.logger.recognise import recognise
from kilnlog.exchange.logger.watched import WatchedFile
from tests.exchange.logger.files import PLAIN, Reading, Style, readings

ZONE = "Europe/Vienna"
NIGHT = "2026-10-24 18:00"  # the clocks go back during it
SEED = 20261125


class Logger:
    """Writes a file as a logger does, and keeps in mind what the watch gave."""

    def __init__(self, path, style=PLAIN):
        self.path, self.style = path, style
        form = recognise(style.text(readings(NIGHT, 5), ZONE))
        self.watch = WatchedFile(path, form, ZONE)
        self.given = []
        self.found = None

    def write(self, data, mode="ab"):
        with self.path.open(mode) as file:
            file.write(data)

    def begin(self, taken):
        self.write(self.style.text(taken, ZONE), "wb")

    def append(self, taken):
        lines = "".join(line + self.style.line_end for line in self.style.lines(taken, ZONE))
        self.write(lines.encode(self.style.encoding))

    def poll(self):
        """What one poll found new."""
        self.found = self.watch.poll()
        chunk = self.found.chunk
        new = list(map(Reading, chunk.at_s.tolist(), chunk.dry, chunk.second))
        self.given += new
        return new


@pytest.fixture
def logger(tmp_path):
    made = Logger(tmp_path / "kiln.csv")
    yield made
    made.watch.close()


def test_what_is_appended_is_found_once(logger):
    taken = readings(NIGHT, 24)
    assert logger.poll() == []  # no file yet
    logger.begin(taken[:10])
    assert logger.poll() == taken[:10]
    assert logger.poll() == []
    for number in range(10, 40):
        logger.append([taken[number]])
        assert logger.poll() == [taken[number]]
    logger.append(taken[40:])
    assert logger.poll() == taken[40:]
    assert not logger.found.began_anew


@pytest.mark.parametrize(
    "style", [PLAIN, Style(line_end="\r\n"), Style(encoding="utf-16-le"), Style(encoding="utf-16-be")]
)
def test_written_in_pieces_of_any_size_every_reading_comes_whole_and_once(style, tmp_path):
    """Through the hour that comes twice, polled after every piece."""
    taken = readings(NIGHT, 14, step_s=300)
    data = style.text(taken, ZONE)
    pieces = random.Random(SEED)
    logger = Logger(tmp_path / "kiln.csv", style)
    begin = 0
    while begin < len(data):
        end = begin + pieces.randint(1, 90)
        logger.write(data[begin:end])
        logger.poll()
        assert logger.given == taken[: len(logger.given)]
        begin = end
    logger.watch.close()
    assert logger.given == taken
    assert logger.watch.file_sha256 == hashlib.sha256(data).hexdigest()


def test_a_half_written_line_waits(logger):
    taken = readings(NIGHT, 5)
    logger.begin(taken[:5])
    logger.poll()
    logger.write(b"2026-10-24 20:50:00,4")
    assert logger.poll() == []
    logger.write(b"8.25,41.5\n")
    assert logger.poll() == [Reading(taken[5].at_s, "48.25", "41.5")]


@pytest.mark.parametrize("heading", [True, False])
def test_a_file_moved_away_is_read_to_its_end_and_the_new_one_followed(logger, heading):
    taken = readings(NIGHT, 24)
    logger.begin(taken[:50])
    logger.poll()
    logger.append(taken[50:53])
    logger.path.rename(logger.path.with_suffix(".1"))
    assert logger.poll() == []  # no new file yet
    if heading:
        logger.begin(taken[53:60])
    else:
        logger.append(taken[53:60])
    assert logger.poll() == taken[50:53]
    assert (logger.found.began_anew, logger.found.is_behind) == (True, True)
    assert logger.poll() == taken[53:60]
    logger.append(taken[60:])
    assert logger.poll() == taken[60:]
    assert logger.given == taken


@pytest.mark.parametrize("moved_at", range(30, 60))
def test_moved_away_at_any_time_of_the_night_nothing_is_lost(logger, moved_at):
    """Also between the two turns of the hour that comes twice."""
    taken = readings(NIGHT, 14)
    logger.begin(taken[:moved_at])
    logger.poll()
    logger.path.rename(logger.path.with_suffix(".1"))
    logger.begin(taken[moved_at:])
    logger.poll()
    logger.poll()
    assert logger.given == taken


def test_cut_short_and_going_on(logger):
    taken = readings(NIGHT, 24)
    logger.begin(taken[:50])
    logger.poll()
    logger.write(b"", "wb")
    assert logger.poll() == []
    assert logger.found.began_anew
    logger.append(taken[50:60])
    assert logger.poll() == taken[50:60]
    assert logger.watch.file_sha256 == hashlib.sha256(logger.path.read_bytes()).hexdigest()


@pytest.mark.parametrize("length", [3, 20, 50, 80])
def test_cut_short_and_filled_again_before_the_next_look(logger, length):
    taken = readings(NIGHT, 30)
    logger.begin(taken[:50])
    logger.poll()
    logger.begin(taken[50 : 50 + length])
    assert logger.poll() == taken[50 : 50 + length]
    assert logger.found.began_anew


@pytest.mark.parametrize("seen", range(30, 60, 3))
def test_written_anew_with_what_stood_there_and_more(logger, seen):
    """As programs do that export the whole of a logger each time."""
    taken = readings(NIGHT, 14)
    for until in range(seen, len(taken), 2):
        fresh = logger.path.with_suffix(".new")
        fresh.write_bytes(PLAIN.text(taken[:until], ZONE))
        fresh.replace(logger.path)
        logger.poll()
        logger.poll()
        assert logger.given == taken[:until]


def test_a_window_of_the_last_hours_written_anew_each_time(logger):
    taken = readings(NIGHT, 30)
    for until in range(50, len(taken)):
        logger.begin(taken[until - 50 : until])
        logger.poll()
    assert logger.given == taken[: len(taken) - 1]


def test_a_long_file_is_caught_up_with_in_several_looks(logger, monkeypatch):
    monkeypatch.setattr(watched, "MOST_BYTES", 1000)
    taken = readings(NIGHT, 24)
    logger.begin(taken)
    looks = 0
    while logger.poll() or logger.found.is_behind:
        looks += 1
    assert logger.given == taken
    assert looks > 4


def test_only_what_is_new_to_the_logbook(tmp_path):
    taken = readings(NIGHT, 24)
    path = tmp_path / "kiln.csv"
    path.write_bytes(PLAIN.text(taken, ZONE))
    watch = WatchedFile(path, recognise(path.read_bytes()), ZONE, after_s=taken[99].at_s)
    assert watch.poll().chunk.at_s.tolist() == [each.at_s for each in taken[100:]]
    watch.close()


def test_what_a_power_cut_leaves_behind_is_passed_over(logger, monkeypatch):
    monkeypatch.setattr(watched, "MOST_BYTES", 1000)
    taken = readings(NIGHT, 8)
    logger.begin(taken[:5])
    logger.poll()
    logger.write(bytes(2500))
    logger.append(taken[5:])
    for _ in range(10):
        logger.poll()
    assert logger.given == taken


def test_one_leaping_stamp_does_not_end_the_watch(logger):
    taken = readings("2026-05-20 06:00", 8)
    logger.begin(taken[:10])
    logger.poll()
    for number in range(10, len(taken)):
        if number == 15:
            logger.write(b"2062-05-20 10:00:00,50.0,40.0\n")
            assert logger.poll() == []  # only the next row tells a wrong digit from days of silence
        logger.append(taken[number : number + 1])
        assert logger.poll() == taken[number : number + 1]
    assert logger.given == taken


def test_after_days_of_silence_the_first_reading_comes_with_the_second(logger):
    taken, later = readings("2026-05-20 06:00", 2), readings("2026-05-27 06:00", 2)
    logger.begin(taken)
    logger.poll()
    logger.append(later[:1])
    assert logger.poll() == []
    logger.append(later[1:2])
    assert logger.poll() == later[:2]


def test_a_file_that_ends_with_the_first_reading_after_days_of_silence_loses_none(logger):
    taken, later = readings("2026-05-20 06:00", 2), readings("2026-05-27 06:00", 2)
    logger.begin(taken)
    logger.poll()
    logger.append(later[:1])
    logger.poll()
    logger.path.rename(logger.path.with_suffix(".old"))
    logger.begin(later[1:])
    logger.poll()
    logger.poll()
    assert logger.given == taken + later
