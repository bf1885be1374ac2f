"""Another program at the same file: ``python -m tests.store.other_program FILE VERB``.

It prints one line when it is ready and goes on when it is sent one.

- ``hold``: open the file, say whether it may write, wait, close.
- ``half``: write a row, do not commit, wait.
- ``weigh BOARD``: write weights one after another, printing each uid once its commit has returned.
"""

from __future__ import annotations

import sys
from itertools import count
from pathlib import Path

from kilnlog.records.weighing import Weighing
from kilnlog.store.logbook_file import LogbookFile
from tests.store.mill import first, grams, write


def say(what: str) -> None:
    print(what, flush=True)


def hold(book: LogbookFile) -> None:
    say("writing" if book.why_read_only is None else book.why_read_only.code)
    sys.stdin.readline()


def half(book: LogbookFile) -> None:
    weighing = book.entries("weighing")[0].fact
    with book.immediate():
        book.insert(first(Weighing(weighing.charge, weighing.board, grams("1600"))))
        say("half written")
        sys.stdin.readline()


def weigh(book: LogbookFile) -> None:
    board = book.entries("board")[0]
    say("writing")
    for number in count():
        entry = first(Weighing(board.fact.charge, board.entity, grams(f"{1800 - number / 10:.1f}")))
        write(book, entry)
        say(entry.entity)


if __name__ == "__main__":
    with LogbookFile.open(Path(sys.argv[1])) as opened:
        {"hold": hold, "half": half, "weigh": weigh}[sys.argv[2]](opened)
