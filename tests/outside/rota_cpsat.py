#!/usr/bin/env python3
"""The fewest players against OR-Tools CP-SAT, on random programmes.

Source: OR-Tools (package `ortools`), a general solver that shares nothing with Backrow. Each programme is
written as a plain table, given to `backrow rota --table FILE --json`, and modelled anew here from the table:
pairs that one player cannot take are worked out by plain sums in whole microseconds, and CP-SAT
finds the smallest number of players on one core. The numbers have to be the same every time, every
assignments and every proof by a moment is gone over again, and the times of both are printed.

    python3 rota_cpsat.py path/to/backrow [how many] [lines]

Ends with 0 when all agree, 1 when not, and 77 with a word when ortools is not installed.
"""

import csv
import json
import math
import random
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

try:
    from ortools.sat.python import cp_model
except ImportError:
    print("skipped: ortools is not installed (pip install ortools)")
    sys.exit(77)

PACE, SETTLE, CHANGE = 1.2, 1.0, 1.5


def programme(rng, lines):
    """Rows of a programme: movements of five to eight lines, each with its place and beaters."""
    rows, start, made = [], 0.0, 0
    places = [(round(1.4 * (i % 7), 2), round(1.6 * (i // 7), 2)) for i in range(14)]
    while made < lines:
        length = rng.uniform(90, 400)
        for instrument in rng.sample(range(14), min(rng.randint(5, 8), lines - made)):
            x, y = places[instrument]
            now = start + rng.uniform(0, length / 3)
            first = True
            while first or now < start + length:
                end = now + rng.uniform(1, 25)
                rows.append(dict(line=f"c{made}", instrument=f"i{instrument}", from_s=round(now, 1),
                                 to_s=round(end, 1), x_m=x, y_m=y, beaters=f"b{rng.randint(0, 3)}" if first else beaters))
                beaters = rows[-1]["beaters"]
                now, first = end + rng.uniform(4, 70), False
            made += 1
        start += length + 30
    return rows


def micros(seconds):
    return math.floor(seconds * 1e6 + 0.5)


def clash(p, q):
    """Whether one player cannot take both passages."""
    first, then = (p, q) if p["from_s"] <= q["from_s"] else (q, p)
    same = (p["x_m"], p["y_m"]) == (q["x_m"], q["y_m"])
    way = math.hypot(p["x_m"] - q["x_m"], p["y_m"] - q["y_m"])
    need = 0 if same else micros(way / PACE + SETTLE)
    need += micros(CHANGE) if p["beaters"] != q["beaters"] else 0
    return micros(then["from_s"]) - micros(first["to_s"]) < need


def by_line(rows):
    lines = {}
    for row in rows:
        lines.setdefault(row["line"], []).append(row)
    return lines


def edges(lines):
    names = list(lines)
    return [(a, b) for i, a in enumerate(names) for b in names[i + 1:]
            if any(clash(p, q) for p in lines[a] for q in lines[b])]


def cpsat(names, pairs):
    """The fewest players by CP-SAT, and its seconds."""
    upper = min(len(names), 16)
    model = cp_model.CpModel()
    has = {(c, k): model.new_bool_var(f"{c}.{k}") for c in names for k in range(upper)}
    used = [model.new_bool_var(f"u{k}") for k in range(upper)]
    for c in names:
        model.add_exactly_one(has[c, k] for k in range(upper))
        for k in range(upper):
            model.add_implication(has[c, k], used[k])
    for a, b in pairs:
        for k in range(upper):
            model.add_at_most_one([has[a, k], has[b, k]])
    for k in range(upper - 1):
        model.add_implication(used[k + 1], used[k])
    model.minimize(sum(used))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    started = time.perf_counter()
    status = solver.solve(model)
    seconds = time.perf_counter() - started
    assert status == cp_model.OPTIMAL, solver.status_name(status)
    return round(solver.objective_value), seconds


def check(answer, lines, pairs):
    """What is wrong with our own answer, by plain sums."""
    wrong = []
    given = answer["assignments"]
    if set(given) != set(lines) or len(set(given.values())) > answer["players"] or not answer["proven"]:
        wrong.append("the assignments are not whole, or has too many players, or is not proven")
    wrong += [f"{a} and {b} share a player" for a, b in pairs if given[a] == given[b]]
    proof = answer["proof"]
    if proof["shape"] == "moment":
        joined = set(pairs)
        cs = proof["lines"]
        if len(cs) < answer["players"] or any((a, b) not in joined and (b, a) not in joined
                                              for i, a in enumerate(cs) for b in cs[i + 1:]):
            wrong.append("the moment does not prove the number")
    return wrong


def main():
    binary, count, size = sys.argv[1], int((sys.argv + ["", "", "300"])[2] or 300), int((sys.argv + [""] * 3)[3] or 45)
    ours, theirs, bad, players = [], [], 0, {}
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(count):
            rng = random.Random(seed)
            lines = programme(rng, size if seed % 3 else rng.randint(3, size))
            file = Path(folder) / "programme.csv"
            with file.open("w", newline="", encoding="utf-8") as out:
                writer = csv.DictWriter(out, fieldnames=list(lines[0]))
                writer.writeheader()
                writer.writerows(lines)
            said = subprocess.run([binary, "assign", "--table", str(file), "--json", "--width", "1"],
                                  capture_output=True, text=True, check=True)
            answer = json.loads(said.stdout)
            lines = by_line(lines)
            pairs = edges(lines)
            fewest, seconds = cpsat(list(lines), pairs)
            ours.append(answer["seconds"])
            theirs.append(seconds)
            players[fewest] = players.get(fewest, 0) + 1
            wrong = check(answer, lines, pairs)
            if fewest != answer["players"]:
                wrong.append(f"CP-SAT says {fewest}, we say {answer['players']}")
            for line in wrong:
                print(f"seed {seed}: {line}")
            bad += bool(wrong)
    ratio = statistics.median(t / max(o, 1e-9) for o, t in zip(ours, theirs))
    print(f"{count} programmes, {bad} wrong; players: {dict(sorted(players.items()))}")
    print(f"median seconds: ours {statistics.median(ours):.6f}, CP-SAT {statistics.median(theirs):.6f}; "
          f"median ratio {ratio:.0f}")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
