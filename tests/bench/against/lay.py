"""How densely spyrrow lays the sets of `tests/bench/lay.rs`, at the same time and with as many threads.

python3 tests/bench/against/lay.py [--seconds 60] [--seeds 5] [--threads 2] [SET...]

Installs spyrrow into an environment that goes away, has the bench write its sets, and prints the median density of the seeds
for each. Ours, of the same sets: cargo bench --bench lay -- --seconds 60 --seeds 5
"""

import argparse
import json
import pathlib
import statistics
import subprocess
import sys
import tempfile
import venv

ROOT = pathlib.Path(__file__).resolve().parents[3]


def lay(folder, sets, seconds, seeds, threads):
    import spyrrow

    for file in sorted(pathlib.Path(folder).glob("*.json")):
        if sets and file.stem not in sets:
            continue
        text = json.loads(file.read_text())
        items = []
        covered = 0.0
        for item in text["items"]:
            ring = [tuple(point) for point in item["shape"]["data"]]
            doubled = sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, ring[1:] + ring[:1]))
            covered += abs(doubled) / 2 * item["demand"]
            shape = ring + ring[:1]
            turns = item["allowed_orientations"]
            items.append(spyrrow.Item(str(item["id"]), shape, demand=item["demand"], allowed_orientations=turns))
        found = []
        for seed in range(seeds):
            instance = spyrrow.StripPackingInstance(file.stem, strip_height=text["strip_height"], items=items)
            config = spyrrow.StripPackingConfig(
                early_termination=False, total_computation_time=seconds, num_workers=threads, seed=seed
            )
            laid = instance.solve(config)
            found.append(100 * covered / (text["strip_height"] * laid.width))
            print(f"{file.stem}: seed {seed}, {found[-1]:.2f} %", flush=True)
        print(f"{file.stem}: median {statistics.median(found):.2f} %", flush=True)


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("--seconds", type=int, default=60)
    parser.add_argument("--seeds", type=int, default=5)
    parser.add_argument("--threads", type=int, default=2)
    parser.add_argument("--within", help="the folder of the sets, where spyrrow is installed already")
    parser.add_argument("sets", nargs="*")
    asked = parser.parse_args()
    if asked.within:
        lay(asked.within, asked.sets, asked.seconds, asked.seeds, asked.threads)
        return
    with tempfile.TemporaryDirectory() as folder:
        place = pathlib.Path(folder)
        venv.create(place / "python", with_pip=True)
        python = place / "python" / "bin" / "python"
        subprocess.run([python, "-m", "pip", "install", "--quiet", "spyrrow"], check=True)
        sets = place / "sets"
        sets.mkdir()
        subprocess.run(["cargo", "bench", "--bench", "lay", "--", "--write", sets], cwd=ROOT, check=True)
        subprocess.run([python, __file__, *sys.argv[1:], "--within", sets], check=True)


if __name__ == "__main__":
    main()
