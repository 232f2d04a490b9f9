"""Times our work against what a user would use instead, by ratio, with accuracy beside it.

    python3 tests/bench/against/compare.py

Installs shapely and svgpathtools into an environment of its own, in a folder that goes away. Every time is the shortest
of many runs, so that other work on the machine counts as little as it can.
"""

import json
import pathlib
import re
import subprocess
import sys
import tempfile
import time
import venv

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parents[2]
COAT = ROOT / "fixtures" / "coat.svg"
RECIPE = ROOT / "examples" / "narrow-coat.toml"
PEERS = ["shapely", "svgpathtools"]
RUNS = 20


def shortest(work, runs=RUNS):
    times = []
    for _ in range(runs):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return min(times)


def run(*arguments, **more):
    return subprocess.run([str(argument) for argument in arguments], check=True, capture_output=True, text=True, **more)


def theirs(rings_file):
    """The peers' side, run within their environment: times in µs, and the rings they make."""
    import by_hand
    from shapely.geometry import Polygon
    from svgpathtools import parse_path

    pieces = by_hand.edges_of(COAT)
    rings = {name: by_hand.outline(edges) for name, edges in pieces.items()}
    polygons = [Polygon(ring) for ring in rings.values()]
    texts = [path.d() for one, other in by_hand.seams(pieces) for path in one + other]

    def fresh():
        return [parse_path(text) for text in texts]

    def lengths():
        paths = fresh()
        begun = time.perf_counter()
        measured = [path.length() for path in paths]
        return time.perf_counter() - begun, measured

    made = {name: list(by_hand.offset(ring).exterior.coords)[:-1] for name, ring in rings.items()}
    pathlib.Path(rings_file).write_text(json.dumps(made))
    sleeve = Polygon(rings["sleeve"])
    left, low, right, high = sleeve.bounds
    middle = (left + right) / 2
    parts = [
        sleeve.intersection(Polygon([(a, low - 1), (b, low - 1), (b, high + 1), (a, high + 1)]))
        for a, b in ((left - 1, middle), (middle, right + 1))
    ]
    return {
        "offsets": shortest(lambda: [p.buffer(15, join_style="mitre", mitre_limit=10) for p in polygons]) * 1e6,
        "lengths": min(lengths()[0] for _ in range(RUNS)) * 1e6,
        "count": len(texts),
        "union": shortest(lambda: parts[0].union(parts[1])) * 1e6,
    }


def sheet_of(coats):
    """A sheet of so many coats side by side, the pieces numbered."""
    text = COAT.read_text()
    start, end = text.index("<g id="), text.rindex("</svg>")
    names = "|".join(re.findall(r'<g id="([^"]+)"', text))
    name = re.compile(rf'(?<![\w-])({names})(?=\.)|(?<=<g id=")({names})(?=")')
    coat = "".join(
        f'<g transform="translate({i % 10 * 1500} {i // 10 * 1800})">'
        + name.sub(lambda found: f"{found.group()}-{i}", text[start:end])
        + "</g>"
        for i in range(coats)
    )
    return text[:start] + coat + text[end:], len(names.split("|")) * coats


def main():
    with tempfile.TemporaryDirectory() as folder:
        folder = pathlib.Path(folder)
        venv.create(folder / "peers", with_pip=True)
        python = folder / "peers" / "bin" / "python"
        run(python, "-m", "pip", "install", "--quiet", *PEERS)
        run("cargo", "build", "--release", "--quiet", cwd=ROOT)
        retrue = ROOT / "target" / "release" / "retrue"

        rings = folder / "rings.json"
        peers = json.loads(run(python, HERE / "compare.py", "--theirs", rings).stdout)
        bench = run("cargo", "bench", "--quiet", "--bench", "against", "--", COAT, rings, cwd=ROOT)
        ours = json.loads(bench.stdout)

        recut = shortest(lambda: run(retrue, "-q", "apply", RECIPE, "-o", folder / "new.svg", "--force"))
        script = shortest(lambda: run(python, HERE / "by_hand.py", COAT, folder / "hand.svg"), 5)

        rows = [
            ("lengths of all seams", "svgpathtools", ours["lengths_us"], peers["lengths"], 20),
            ("offsets of all edges, 15 mm", "shapely", ours["even_offsets_us"], peers["offsets"], 2),
            ("offsets of all edges, 15 mm", "clipper2-rust", ours["even_offsets_us"], ours["clipper_offsets_us"], 2),
            ("even lines round all pieces, 15 mm, mitred", "shapely", ours["even_lines_us"], peers["offsets"], 2),
            ("even lines round all pieces, 15 mm, mitred", "clipper2-rust", ours["even_lines_us"], ours["clipper_offsets_us"], 2),
            ("cutting lines, corners and caps", "shapely", ours["cutting_lines_us"], peers["offsets"], 2),
            ("cutting lines, corners and caps", "clipper2-rust", ours["cutting_lines_us"], ours["clipper_offsets_us"], 2),
            ("two pieces joined", "shapely", ours["merge_us"], peers["union"], None),
            ("the whole as a process", "the script", recut * 1e6, script * 1e6, 20),
        ]
        print("| what | against | ours, µs | theirs, µs | times as fast | goal |\n|---|---|--:|--:|--:|--:|")
        for what, whom, mine, other, goal in rows:
            print(f"| {what} | {whom} | {mine:.0f} | {other:.0f} | {other / mine:.1f} | {goal or '-'} |")
        print("\n| furthest from 15 mm | mm |\n|---|--:|")
        for whom, key in (("ours", "even_lines_error"), ("shapely", "their_error"), ("clipper2-rust", "clipper_error")):
            print(f"| {whom} | {ours[key]:.4f} |")
        print("\n| pieces in one file | check, ms | ms a piece | set-allowance, ms | ms a piece |\n|--:|--:|--:|--:|--:|")
        for coats in (1, 8, 77):
            text, pieces = sheet_of(coats)
            (folder / "many.svg").write_text(text)
            line = [f"| {pieces} "]
            for command in (
                ["check", folder / "many.svg"],
                ["set-allowance", folder / "many.svg", "--edges", "finish:hem", "--allowance", "30mm", "-o", folder / "out.svg", "--force"],
            ):
                took = shortest(lambda: run(retrue, "-q", *command), 5) * 1e3
                line.append(f"| {took:.1f} | {took / pieces:.2f} ")
            print("".join(line) + "|")


if __name__ == "__main__":
    if sys.argv[1:2] == ["--theirs"]:
        print(json.dumps(theirs(sys.argv[2])))
    else:
        main()
