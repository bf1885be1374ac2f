"""An outsider's check of a logbook: ``python tests/seal/verifier.py FILE [SHORT FORM]``.

Written from the help page on the ledger alone; of kilnlog nothing is imported.
"""

import json
import sqlite3
import sys
from hashlib import sha256

LETTERS = "23456789ABCDEFGHJKLMNPQRSTUVWXYZ"


def checksum(text):
    return sha256(text.encode()).hexdigest()


def canonical(value):
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)


def short_form(text):
    bits = "".join(f"{byte:08b}" for byte in sha256(text.encode()).digest())[:60]
    letters = "".join(LETTERS[int(bits[at : at + 5], 2)] for at in range(0, 60, 5))
    return "-".join((letters[:4], letters[4:8], letters[8:]))


def seal_fits(row, logbook):
    sealed = json.loads(row["sealed_text"])
    there = sealed["ledger"] if sealed.get("form") == 2 else {"logbook": None}
    here = (row["ledger_number"], row["ledger_head"])
    fits = there["logbook"] != logbook or (there["number"], there["head"]) == here
    return fits and canonical(sealed) == row["sealed_text"]


def days_fit(file, batch, digest):
    days = "SELECT day, readings, sha256, rows FROM logger_day WHERE batch = ? ORDER BY day"
    read = file.execute(days, (batch,)).fetchall()
    whole = checksum("".join(f"{day} {told}\n" for day, _, told, _ in read))
    counted = all(len(json.loads(text)) == count for _, text, _, count in read)
    return whole == digest and counted and all(checksum(text) == told for _, text, told, _ in read)


def check(path):
    """What does not fit, in words, and the short forms of the seals that do."""
    file, wrong, sealed = sqlite3.connect(f"file:{path}?mode=ro", uri=True), [], []
    file.row_factory = sqlite3.Row
    wrong += [f"pages: {told}" for (told,) in file.execute("PRAGMA integrity_check") if told != "ok"]
    ((logbook,),) = file.execute("SELECT uid FROM logbook")
    names = [name for (name,) in file.execute("SELECT name FROM sqlite_schema WHERE type = 'table'")]
    apart = ("logbook", "ledger", "logger_day", "_", "sqlite_")
    facts = [name for name in names if not name.startswith(apart)]
    left = {name: {row["uid"]: dict(row) for row in file.execute(f"SELECT * FROM {name}")} for name in facts}
    head, last, ids = checksum(f"kilnlog ledger\n{logbook}"), 0, {}
    for owner, number, table, uid, hashed, chained in file.execute("SELECT * FROM ledger ORDER BY number"):
        line = "\n".join((head, logbook, str(number), table, uid, hashed))
        if (owner, number, checksum(line)) != (logbook, last + 1, chained):
            wrong.append(f"line {number} does not follow")
        row = left.get(table, {}).pop(uid, {"id": 0, "ledger_number": None, "sealed_text": None})
        place = row.pop("id")
        if checksum(canonical({name: told for name, told in row.items() if told is not None})) != hashed:
            wrong.append(f"{table} {uid} is not as written")
        elif table == "closing" and (row["ledger_number"], row["ledger_head"]) != (last, head):
            wrong.append(f"seal {uid} does not stand at its place")
        if place <= ids.get(table, 0):
            wrong.append(f"{table} {uid} is out of order")
        if table == "closing" and row["sealed_text"] is not None:
            (sealed if seal_fits(row, logbook) else wrong).append(short_form(row["sealed_text"]))
        if row.get("version") == "first" and "digest" in row and not days_fit(file, uid, row["digest"]):
            wrong.append(f"readings of batch {uid} are not as written")
        head, last, ids[table] = chained, number, place
    wrong += [f"{table} {uid} is not in the ledger" for table in facts for uid in left[table]]
    return wrong, sealed


if __name__ == "__main__":
    wrongs, seals = check(sys.argv[1])
    print(*wrongs, f"seals {' '.join(seals) or 'none'}", sep="\n")
    sys.exit(1 if wrongs or not set(sys.argv[2:]) <= set(seals) else 0)
