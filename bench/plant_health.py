"""Networks of causes beside pgmpy on random networks, and the time that letters take: a section of the page that `run` prints."""

import json
import os
import pathlib
import random
import subprocess
import time
import tomllib

import pgmpy
from pgmpy.factors.discrete import TabularCPD
from pgmpy.inference import VariableElimination
from pgmpy.models import BayesianNetwork

HERE = pathlib.Path(__file__).resolve().parent
DATA = HERE / "target" / "data"
OURS = HERE / "target" / "release" / "groundlore-bench"
LETTERS = HERE.parent / "crates" / "plant_health" / "tests" / "data" / "letters_to_work_with.toml"
NETWORKS, QUESTIONS, ROUNDS = 40, 5, 5


def made(rng):
    """A random network as (parents, table) by node; bit i of a table's place is the state of parent i."""
    nodes = []
    for place in range(rng.randint(8, 16)):
        parents = sorted(rng.sample(range(place), min(place, rng.randint(0, 3))))
        nodes.append((parents, [round(rng.uniform(0.02, 0.98), 6) for _ in range(2 ** len(parents))]))
    return nodes


def in_pgmpy(nodes):
    model = BayesianNetwork()
    model.add_nodes_from([str(i) for i in range(len(nodes))])
    for child, (parents, _) in enumerate(nodes):
        model.add_edges_from((str(p), str(child)) for p in parents)
    for child, (parents, table) in enumerate(nodes):
        # pgmpy counts its columns with the first parent as the slowest.
        columns = []
        for column in range(2 ** len(parents)):
            states = [(column >> (len(parents) - 1 - i)) & 1 for i in range(len(parents))]
            columns.append(table[sum(s << i for i, s in enumerate(states))])
        values = [[1 - p for p in columns], columns]
        model.add_cpds(TabularCPD(str(child), 2, values, evidence=[str(p) for p in parents] or None, evidence_card=[2] * len(parents) or None))
    return model


def main():
    DATA.mkdir(parents=True, exist_ok=True)
    rng = random.Random(20150817)
    networks = [made(rng) for _ in range(NETWORKS)]
    asked = []
    lines = []
    for nodes in networks:
        lines.append(f"network {len(nodes)}")
        for parents, table in nodes:
            lines += [" ".join(map(str, [len(parents), *parents])), " ".join(map(repr, table))]
        for _ in range(QUESTIONS):
            order = rng.sample(range(len(nodes)), 4)
            told = {place: rng.randint(0, 1) for place in order[1:]}
            asked.append((order[0], told))
            lines.append(f"ask {order[0]} " + ",".join(f"{k}={v}" for k, v in told.items()))
    file = DATA / "networks.txt"
    file.write_text("\n".join(lines) + "\n")
    out = subprocess.run([OURS, "networks", file, str(ROUNDS)], check=True, capture_output=True, text=True).stdout.split("\n")
    answers = [float(line.split()[1]) for line in out if line.startswith("answer")]
    mine = [float(line.split()[1]) for line in out if line.startswith("networks")]

    models = [VariableElimination(in_pgmpy(nodes)) for nodes in networks]
    theirs, found = [], []
    for round_ in range(ROUNDS):
        start = time.perf_counter()
        for place, (query, told) in enumerate(asked):
            model = models[place // QUESTIONS]
            factor = model.query([str(query)], evidence={str(k): v for k, v in told.items()}, show_progress=False)
            if round_ == 0:
                found.append(float(factor.values[1]))
        theirs.append(time.perf_counter() - start)
    worst = max(abs(a - b) for a, b in zip(answers, found, strict=True))

    letters = []
    for told in tomllib.loads(LETTERS.read_text())["letter"]:
        letters.append({"date": told["date"], "host": told["host"], "text": told["full"]})
    file = DATA / "letters.json"
    file.write_text(json.dumps(letters))
    out = subprocess.run([OURS, "letters", file], check=True, capture_output=True, text=True).stdout.split("\n")
    one = lambda word: [float(line.split()[1]) for line in out if line.startswith(word + " ")]
    each = sorted(one("letter"))

    print("\n## Plant health\n")
    print(f"Load {os.getloadavg()[0]:.1f}. {NETWORKS} random networks of 8 to 16 nodes, {len(asked)} questions with three facts each; pgmpy {pgmpy.__version__}, variable")
    print(f"elimination, its models made beforehand. Largest difference of a posterior: {worst:.1e}.\n")
    print("| work | Groundlore | pgmpy | ratio |\n| --- | --- | --- | --- |")
    print(f"| posteriors | {min(mine) * 1e3:.2f} ms | {min(theirs) * 1e3:.0f} ms | {min(theirs) / min(mine):.0f} |")
    print(f"\nLetters (the full form of the working set, about 120 words each): half within {each[len(each) // 2] * 1e3:.1f} ms, 95 in 100 within")
    print(f"{each[int(0.95 * len(each))] * 1e3:.1f} ms (wanted: under 50 ms); {len(each):,} letters in {one('inbox')[0]:.2f} s (wanted: under 10 s). Reading lore takes")
    print(f"{one('lore')[0] * 1e3:.0f} ms and making the reader {one('reader')[0] * 1e3:.0f} ms, once.")
    assert worst < 1e-9, worst


if __name__ == "__main__":
    main()
