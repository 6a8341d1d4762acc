#!/usr/bin/env python3
"""Draws docs/architecture.svg from the imports of the code, and holds the code to the order of its rooms.

A room is a module right under a crate's root (`crates/core/src/heat/`, `src/commands/`); `report`, `verify` and `xtask` are rooms as a
whole. Room A uses room B where a path in A (`crate::B`, `super::B`, `partywall_core::B`, in a `use` or anywhere else) leads into B.
Comments, strings and what is compiled for tests only do not count.

    python3 docs/architecture.py            writes docs/architecture.svg, prints rooms and arrows
    python3 docs/architecture.py --check    writes nothing; 1 if the picture is not that of the code, if two rooms lead to each other
                                            by any way, or if an arrow goes against the order below

Another root than the one this file lies in: --root DIR. Only the standard library of Python 3.9 or later is needed.
"""

import argparse
import re
import sys
from pathlib import Path
from xml.sax.saxutils import escape

# Floors from the ground up. A room may use rooms on floors below its own, and no others: rooms side by side are blind to each other.
FLOORS = [
    ["units", "calendar", "problem", "messages", "random", "parallel", "spreadsheet", "region"],
    ["materials", "heat", "colony", "climate"],
    ["stand"],
    ["boundary"],
    ["hive"],
    ["water"],
    ["season"],
    ["ensemble"],
    ["decision"],
    ["scenario"],
    ["answer"],
    ["report", "verify"],
    ["files"],
    ["cli"],
    ["commands"],
    ["main", "xtask"],
]
FLOOR = {room: i for i, floor in enumerate(FLOORS) for room in floor}
# Crates that are one room each, whatever modules they have.
WHOLE = {"report", "verify", "xtask"}
# A line count in the picture may be off by this share, or by so many lines, before --check asks for a new picture.
DRIFT = (0.15, 150)


# -- reading the code ------------------------------------------------------------------------------------------------------------------

TOKEN = re.compile(
    r'//[^\n]*|/\*.*?\*/|r(#*)".*?"\1|"(?:\\.|[^"\\])*"|\'(?:\\.[^\']*|[^\\\'])\'', re.S
)
TEST_ONLY = re.compile(r"#\[cfg\((?:all\()?test\b[^\]]*\]\s*(?:#\[[^\]]*\]\s*)*")
TEST_FILE = re.compile(r"(?:pub(?:\([^)]*\))?\s+)?mod\s+(\w+)\s*;")
PATH = re.compile(r"\b(crate|partywall(?:_\w+)?|super(?:\s*::\s*super)*)\s*::\s*(\{|\w+)")


def bare(text):
    """The code without comments; what stands in strings becomes x, so that lines and columns stay."""

    def blank(match):
        found = match.group(0)
        return re.sub(r"[^\n]", " ", found) if found.startswith("/") else re.sub(r"\S", "x", found)

    return TOKEN.sub(blank, text)


def item_end(code, start):
    """Where the item that begins at `start` ends: after its `;`, or after its block."""
    depth = 0
    for i in range(start, len(code)):
        if code[i] in "([{":
            depth += 1
        elif code[i] in ")]}":
            depth -= 1
            if depth == 0 and code[i] == "}":
                return i + 1
        elif code[i] == ";" and depth == 0:
            return i + 1
    return len(code)


def without_tests(raw):
    """The bare code without what is compiled for tests only, and the names of the module files that are."""
    code, files = bare(raw), set()
    while match := TEST_ONLY.search(code):
        if declared := TEST_FILE.match(code, match.end()):
            # The name of the file stands in the raw text, if it is another than the module's.
            other = re.search(r'path\s*=\s*"([^"]+)"', raw[match.start() : match.end()])
            files.add(other.group(1) if other else declared.group(1))
        end = item_end(code, match.end())
        code = code[: match.start()] + re.sub(r"[^\n]", " ", code[match.start() : end]) + code[end:]
    return code, files


def first_names(code, start):
    """First names of a group: `a` and `c` of `{a::b, c::{d, e}}`."""
    depth, names, fresh = 0, [], True
    for match in re.finditer(r"[{},]|\w+", code[start:]):
        token = match.group(0)
        if token == "{":
            depth += 1
        elif token == "}":
            depth -= 1
            if depth == 0:
                break
        elif token == ",":
            fresh = fresh or depth == 1
            continue
        elif depth == 1 and fresh:
            names.append(token)
            fresh = False
            continue
    return names


class Crate:
    """One crate: its rooms with their lines of code, and the paths that leave a room, (room, crate or "", name)."""

    def __init__(self, name, source):
        self.name, self.source = name, source
        self.lines, self.paths, self.renamed = {}, [], {}
        skipped = set()
        # A file comes after the one that declares it, so that files for tests only are known before they are met.
        for file in sorted(source.rglob("*.rs"), key=lambda f: (len(f.parts) + (f.name not in ("mod.rs", "lib.rs")), str(f))):
            place = file.relative_to(source)
            module = [*place.parts[:-1], *([] if place.stem in ("mod", "lib") else [place.stem])]
            if any(file == s or s in file.parents or file.with_suffix("") == s for s in skipped):
                continue
            code, files = without_tests(file.read_text(encoding="utf-8"))
            inside = file.parent if file.stem in ("mod", "lib", "main") else file.with_suffix("")
            skipped |= {(file.parent if f.endswith(".rs") else inside) / f for f in files}
            if not module:
                self.read_root(code)
            if module or name in WHOLE:
                self.read(name if name in WHOLE else module[0], len(module), code)

    def read_root(self, code):
        """What the crate's root offers under a name of its own: `pub use room::{Name}`."""
        for used in re.finditer(r"pub\s+use\s+(?:crate::|self::)?(\w+)::([^;]*);", code):
            self.renamed.update({name: used.group(1) for name in re.findall(r"\w+", used.group(2))})

    def read(self, room, depth, code):
        self.lines[room] = self.lines.get(room, 0) + sum(1 for line in code.split("\n") if line.strip())
        for match in PATH.finditer(code):
            base, name = match.group(1), match.group(2)
            names = first_names(code, match.start(2)) if name == "{" else [name]
            if base.startswith("super") and base.count("super") < depth:
                continue
            target = "" if base == "crate" or base.startswith("super") else base
            self.paths += [(room, target, n) for n in names]


def read_code(root):
    """All rooms: {room: (crate, lines)}, and all arrows: {(from, to)}."""
    crates = {f"partywall_{p.parent.name}": Crate(p.parent.name, p) for p in sorted(root.glob("crates/*/src"))}
    if (root / "xtask/src").is_dir():
        crates["xtask"] = Crate("xtask", root / "xtask/src")
    crates["partywall"] = Crate("partywall", root / "src")
    rooms = {room: (c.name, n) for c in crates.values() for room, n in c.lines.items()}
    arrows = set()
    for key, crate in crates.items():
        for room, target, name in crate.paths:
            to = crates.get(target or key)
            if to is None:
                continue
            if to.name in WHOLE:
                name = to.name
            # The program's own library may hand on what the core offers.
            for where in (to, crates.get("partywall_core", to)):
                found = name if name in where.lines else where.renamed.get(name)
                if found in where.lines:
                    arrows |= {(room, found)} if found != room else set()
                    break
    return rooms, arrows


def faults(rooms, arrows):
    """What is wrong with the order, in words."""
    said = [f"room {room} has no floor in docs/architecture.py" for room in sorted(rooms) if room not in FLOOR]
    for a, b in sorted(arrows):
        if a in FLOOR and b in FLOOR and FLOOR[a] <= FLOOR[b]:
            said.append(f"{a} uses {b}, which does not lie below it")
    reach = {room: {b for a, b in arrows if a == room} for room in rooms}
    for _ in rooms:
        reach = {room: to.union(*(reach[t] for t in to)) for room, to in reach.items()}
    ring = sorted(room for room in rooms if room in reach[room])
    if ring:
        said.append("rooms in a circle: " + ", ".join(ring))
    return said


# -- drawing ---------------------------------------------------------------------------------------------------------------------------

COLOURS = {"core": ("#e8f1fb", "#2b6cb0"), "report": ("#fdf1dc", "#b7791f"), "verify": ("#e6f6ec", "#2f855a"), "partywall": ("#f3ecfb", "#6b46c1")}
OTHER = ("#f0f0f0", "#555555")
TITLES = {"core": "crates/core", "report": "crates/report", "verify": "crates/verify", "partywall": "src, the program", "xtask": "xtask"}
BOX, HIGH, STEP, LANE, GAP, EDGE, HEAD = 138, 46, 84, 22, 26, 24, 64


def rounded(n):
    """A count of lines as the picture tells it."""
    step = 100 if n >= 1000 else 50
    return max(10, step * round(n / step))


def told(arrows):
    """The arrows that go down and do not follow from others."""
    down = {(a, b) for a, b in arrows if FLOOR.get(b, 99) < FLOOR.get(a, -1)}
    below = {}
    for a in sorted({a for a, _ in down}, key=FLOOR.get):
        uses = {b for x, b in down if x == a}
        below[a] = uses.union(*(below.get(b, set()) for b in uses))
    return {(a, b) for a, b in down if not any(b in below.get(c, ()) for x, c in down if x == a)}


def spread(wanted, widths, weights):
    """Places next to the wanted ones, in the same order and without overlap: least squares by pooling neighbours."""
    offset, at = [], 0.0
    for i, width in enumerate(widths):
        at += (widths[i - 1] + width) / 2 if i else 0.0
        offset.append(at)
    pools = []
    for want, off, weight in zip(wanted, offset, weights):
        pools.append([want - off, weight, 1])
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (m, v, k), (n, w, j) = pools[-2], pools.pop()
            pools[-1] = [(m * v + n * w) / (v + w), v + w, k + j]
    means = [mean for mean, _, count in pools for _ in range(count)]
    return [mean + off for mean, off in zip(means, offset)]


class Picture:
    """The rooms in their floors, and the way of every arrow through the floors between."""

    def __init__(self, rooms, arrows):
        used = [[r for r in floor if r in rooms] for floor in FLOORS]
        self.floors = [list(floor) for floor in reversed(used) if floor]
        level = {room: i for i, floor in enumerate(self.floors) for room in floor}
        self.ways = []
        for a, b in sorted(told(arrows)):
            lanes = [(a, b, i) for i in range(level[a] + 1, level[b])]
            for lane in lanes:
                self.floors[lane[2]].append(lane)
            self.ways.append([a, *lanes, b])
        self.up, self.down = {}, {}
        for way in self.ways:
            for a, b in zip(way, way[1:]):
                self.up.setdefault(b, []).append(a)
                self.down.setdefault(a, []).append(b)
        self.order()
        self.place()

    def order(self):
        """Puts the rooms of each floor into the order in which few arrows cross: by the mean place of their neighbours, down and up."""
        best, least = None, None
        for turn in range(24):
            place = {x: i / max(1, len(f) - 1) if len(f) > 1 else 0.5 for f in self.floors for i, x in enumerate(f)}
            near = self.up if turn % 2 == 0 else self.down
            for floor in self.floors if turn % 2 == 0 else reversed(self.floors):
                mean = {x: sum(place[n] for n in near[x]) / len(near[x]) if x in near else place[x] for x in floor}
                floor.sort(key=lambda x: (mean[x], str(x)))
                place.update({x: i / (len(floor) - 1) if len(floor) > 1 else 0.5 for i, x in enumerate(floor)})
            crossings = self.crossings()
            if least is None or crossings < least:
                best, least = [list(f) for f in self.floors], crossings
        self.floors = best

    def crossings(self):
        place = {x: i for f in self.floors for i, x in enumerate(f)}
        count = 0
        for floor in self.floors:
            lines = sorted((place[a], place[b]) for a in floor for b in self.down.get(a, []))
            count += sum(1 for i, (_, b) in enumerate(lines) for _, d in lines[i + 1 :] if d < b)
        return count

    def near(self, x):
        return self.up.get(x, []) + self.down.get(x, [])

    def place(self):
        """Where each room and lane is across, so that arrows run as straight as may be."""
        width = {x: BOX + GAP if isinstance(x, str) else LANE for f in self.floors for x in f}
        self.x = {x: float(i) * LANE for f in self.floors for i, x in enumerate(f)}
        # Lanes one under the other pull eight times as hard: long arrows are to be straight.
        pull = {(x, n): 8 if not isinstance(x, str) and not isinstance(n, str) else 1 for x in self.x for n in self.near(x)}
        for turn in range(400):
            for floor in self.floors if turn % 2 else reversed(self.floors):
                weights = [sum(pull[x, n] for n in self.near(x)) or 0.1 for x in floor]
                wanted = [sum(pull[x, n] * self.x[n] for n in self.near(x)) / w if w > 0.1 else self.x[x] for x, w in zip(floor, weights)]
                self.x.update(zip(floor, spread(wanted, [width[x] for x in floor], weights)))
        for lanes in (way[1:-1] for way in self.ways if len(way) > 3):
            self.straighten(lanes, width)
        left = min(self.x[x] - (BOX / 2 if isinstance(x, str) else 0) for x in self.x) - EDGE
        self.x = {x: round(at - left) for x, at in self.x.items()}
        self.wide = max(max(self.x[x] + (BOX // 2 if isinstance(x, str) else 0) for x in self.x) + EDGE, 720)
        self.y = {x: HEAD + i * STEP for i, f in enumerate(self.floors) for x in f}
        self.high = HEAD + len(self.floors) * STEP - (STEP - HIGH) + EDGE

    def straighten(self, lanes, width):
        """Puts the lanes of one arrow under each other, where there is room next to their mean."""
        low, high = -1e9, 1e9
        for lane in lanes:
            floor = self.floors[lane[2]]
            i = floor.index(lane)
            low = max([low, *(self.x[x] + (width[x] + LANE) / 2 for x in floor[max(0, i - 1) : i])])
            high = min([high, *(self.x[x] - (width[x] + LANE) / 2 for x in floor[i + 1 : i + 2])])
        if low <= high:
            mean = sum(self.x[lane] for lane in lanes) / len(lanes)
            self.x.update({lane: min(max(mean, low), high) for lane in lanes})

    def ports(self, room, others):
        """Where the arrows of a room leave or reach it: side by side, in the order of where they go."""
        others = sorted(others, key=lambda o: (self.x[o], str(o)))
        step = min(18, (BOX - 30) / max(1, len(others) - 1))
        return {o: round(self.x[room] + (i - (len(others) - 1) / 2) * step, 1) for i, o in enumerate(others)}

    def curve(self, way):
        """One arrow: straight down through its lanes, bent between floors."""
        x, y = self.ports(way[0], self.down[way[0]])[way[1]], self.y[way[0]] + HIGH
        d = f"M{x:g} {y}"
        for before, at in zip(way, way[1:]):
            last = at is way[-1]
            to_x = self.ports(at, self.up[at])[before] if last else self.x[at]
            to_y = self.y[at] - (6 if last else 0)
            half = round((to_y - y) * 0.55, 1)
            d += f"C{x:g} {y + half:g} {to_x:g} {to_y - half:g} {to_x:g} {to_y}"
            x, y = to_x, to_y + (0 if last else HIGH)
            d += "" if last else f"V{y}"
        return d


def drawing(rooms, arrows):
    """The picture as SVG."""
    p = Picture(rooms, arrows)
    crates = [c for c in TITLES if any(crate == c for crate, _ in rooms.values())]
    out = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {p.wide} {p.high}" width="{p.wide}" height="{p.high}" role="img" '
        'font-family="DejaVu Sans, Verdana, Arial, sans-serif">',
        "<title>Rooms of the code and which uses which</title>",
        f"<desc>{escape('; '.join(listing(rooms, arrows)))}</desc>",
        '<defs><marker id="tip" viewBox="0 0 8 8" refX="2" refY="4" markerWidth="7" markerHeight="7" orient="auto">'
        '<path d="M0 0L8 4L0 8z" fill="#68737f"/></marker></defs>',
        f'<rect width="{p.wide}" height="{p.high}" fill="#ffffff"/>',
    ]
    at = EDGE
    for crate in crates:
        fill, line = COLOURS.get(crate, OTHER)
        out.append(f'<rect x="{at}" y="14" width="14" height="14" rx="3" fill="{fill}" stroke="{line}"/>')
        out.append(f'<text x="{at + 20}" y="26" font-size="12" fill="#333333">{TITLES[crate]}</text>')
        at += 40 + 8 * len(TITLES[crate])
    out.append(
        f'<text x="{EDGE}" y="48" font-size="11" fill="#68737f">An arrow goes from a room to one it uses; '
        "arrows that follow from others are left out.</text>"
    )
    for way in p.ways:
        out.append(f'<path d="{p.curve(way)}" fill="none" stroke="#68737f" stroke-width="1.4" marker-end="url(#tip)"/>')
    for floor in p.floors:
        for room in (r for r in floor if isinstance(r, str)):
            crate, lines = rooms[room]
            fill, line = COLOURS.get(crate, OTHER)
            x, y = p.x[room], p.y[room]
            out.append(
                f'<g data-room="{room}" data-lines="{rounded(lines)}">'
                f'<rect x="{x - BOX // 2}" y="{y}" width="{BOX}" height="{HIGH}" rx="9" fill="{fill}" stroke="{line}" stroke-width="1.5"/>'
                f'<text x="{x}" y="{y + 20}" font-size="15" font-weight="bold" text-anchor="middle" fill="#1f2933">{room}</text>'
                f'<text x="{x}" y="{y + 37}" font-size="11" text-anchor="middle" fill="#52606d">{rounded(lines):,} lines</text></g>'
            )
    return "\n".join([*out, "</svg>", ""])


def listing(rooms, arrows):
    """Every room with all it uses, a line each, from the top floor down."""
    ordered = sorted(rooms, key=lambda r: (-FLOOR.get(r, len(FLOORS)), r))
    return [f"{room} uses {', '.join(sorted(b for a, b in arrows if a == room)) or 'nothing'}" for room in ordered]


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n")[0])
    parser.add_argument("--check", action="store_true", help="write nothing; 1 if picture, order or circles are not right")
    parser.add_argument("--root", type=Path, default=Path(__file__).resolve().parent.parent, help="root of the repository")
    args = parser.parse_args()
    rooms, arrows = read_code(args.root)
    wrong = faults(rooms, arrows)
    picture = args.root / "docs/architecture.svg"
    if args.check:
        disk = picture.read_text(encoding="utf-8") if picture.is_file() else ""
        shown = {room: int(n) for room, n in re.findall(r'data-room="(\w+)" data-lines="(\d+)"', disk)}
        near = {
            room: (crate, shown[room]) if abs(shown.get(room, -1e9) - n) <= max(DRIFT[0] * n, DRIFT[1]) else (crate, n)
            for room, (crate, n) in rooms.items()
        }
        if drawing(near, arrows) != disk:
            wrong.append("docs/architecture.svg is not that of the code: python3 docs/architecture.py draws it anew")
    else:
        picture.write_text(drawing(rooms, arrows), encoding="utf-8")
        for line in listing(rooms, arrows):
            room = line.split()[0]
            print(f"{rooms[room][0]:>10} {rooms[room][1]:6,} {line}")
        print(f"{len(rooms)} rooms, {len(arrows)} arrows, {sum(n for _, n in rooms.values()):,} lines of code without tests and comments")
    for line in wrong:
        print(line, file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
