#!/usr/bin/env python3
"""Areas, common areas, gaps and shortest ways by Shapely, as tables for `tests/tests/stage_shapely.rs`.

Source: Shapely 2 (package `shapely`, the GEOS library), a general geometry library that shares nothing with Backrow.
The ways are found anew here: lines between all corners that Shapely says do not pass through an area, and Dijkstra's search.

    python3 stage_shapely.py [folder]

writes stage_pairs.csv and stage_ways.csv there (default: beside itself). Ends with 77 and a word without shapely.
"""

import csv
import heapq
import math
import random
import sys
from pathlib import Path

try:
    from shapely import affinity
    from shapely.geometry import LineString, Point, Polygon
except ImportError:
    print("skipped: shapely is not installed (pip install shapely)")
    sys.exit(77)

R = lambda rng, low, high: round(rng.uniform(low, high), 3)


def thing(rng, reach):
    what = rng.choice(["keyboard", "box", "round"])
    sizes = [R(rng, 0.3, 2.6), R(rng, 0.3, 1.1), R(rng, 0.3, 1.1)]
    return [what, *sizes, R(rng, -reach, reach), R(rng, -reach, reach), R(rng, 0, 359)]


def outline(what, a, b, c, x, y, turn):
    """Unturned the player stands at small y and the low end lies at large x; a round thing has 48 corners."""
    if what == "round":
        corners = [(a / 2 * math.cos(n * math.tau / 48), a / 2 * math.sin(n * math.tau / 48)) for n in range(48)]
    else:
        low, high = (b, c) if what == "keyboard" else (b, b)
        corners = [(-a / 2, -high / 2), (a / 2, -low / 2), (a / 2, low / 2), (-a / 2, high / 2)]
    # Clockwise on a plan whose y runs down is the mathematical turn in its coordinates.
    return affinity.translate(affinity.rotate(Polygon(corners), turn, origin=(0, 0)), x, y)


def gap(one, other):
    """Exact for circles: the distance of the centre less the radius."""
    def core(t):
        return (Point(t[4], t[5]), t[1] / 2) if t[0] == "round" else (outline(*t), 0.0)
    (a, r), (b, s) = core(one), core(other)
    return max(0.0, a.distance(b) - r - s)


def pairs(rng, count):
    for _ in range(count):
        one, other = thing(rng, 1.2), thing(rng, 1.2)
        a, b = outline(*one), outline(*other)
        yield [*one, *other, f"{a.area:.9f}", f"{a.intersection(b).area:.9f}", f"{gap(one, other):.9f}"]


def area(rng):
    """A quadrangle or a star, so that some are not convex."""
    x, y, corners = R(rng, -3, 3), R(rng, 1.5, 6.5), rng.choice([4, 4, 8])
    points = []
    for n in range(corners):
        far = R(rng, 0.4, 1.3) if corners == 4 or n % 2 == 0 else R(rng, 0.2, 0.4)
        angle = (n + rng.uniform(-0.3, 0.3)) * math.tau / corners
        points.append((round(x + far * math.cos(angle), 3), round(y + far * math.sin(angle), 3)))
    return points


def shortest(areas, start, end):
    shapes = [Polygon(points) for points in areas]
    nodes = [start, end, *(corner for points in areas for corner in points)]
    free = lambda line: not any(shape.relate_pattern(line, "T********") for shape in shapes)
    best, heap, done = {0: 0.0}, [(0.0, 0)], set()
    while heap:
        far, at = heapq.heappop(heap)
        if at == 1:
            return far
        if at in done:
            continue
        done.add(at)
        for to, node in enumerate(nodes):
            length = math.dist(nodes[at], node)
            if to not in done and length > 0 and far + length < best.get(to, math.inf):
                if free(LineString([nodes[at], node])):
                    best[to] = far + length
                    heapq.heappush(heap, (far + length, to))
    return None


def ways(rng, count):
    made = 0
    while made < count:
        areas = [area(rng) for _ in range(rng.randint(1, 6))]
        start, end = (R(rng, -4.5, -3.5), R(rng, 0.5, 7.5)), (R(rng, 3.5, 4.5), R(rng, 0.5, 7.5))
        if any(not Polygon(p).is_valid or Polygon(p).distance(Point(q)) < 0.01 for p in areas for q in (start, end)):
            continue
        way = shortest(areas, start, end)
        if way is None:
            continue
        made += 1
        words = ";".join(" ".join(f"{x},{y}" for x, y in points) for points in areas)
        yield [*start, *end, words.replace(",", "/"), f"{way:.9f}"]


def main():
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).parent
    rng = random.Random(20)
    with open(folder / "stage_pairs.csv", "w", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(pairs(rng, 200))
    with open(folder / "stage_ways.csv", "w", newline="") as file:
        csv.writer(file, lineterminator="\n").writerows(ways(rng, 40))


main()
