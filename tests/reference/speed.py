"""How long a general-purpose library takes for one exact inference on the
largest network of networks.json: the baseline of `cargo bench -p diagnosis`."""

import json
import pathlib
import statistics
import time

import pyagrum as gum

doc = json.loads((pathlib.Path(__file__).parent / "networks.json").read_text())
net = doc["networks"][-1]
bn = gum.BayesNet()
for i, p in enumerate(net["causes"]):
    bn.add(gum.LabelizedVariable(f"c{i}", "", 2))
    bn.cpt(f"c{i}").fillWith([1 - p, p])
for f, finding in enumerate(net["findings"]):
    bn.addNoisyORNet(gum.LabelizedVariable(f"f{f}", "", 2), finding["leak"])
    for cause, strength in finding["links"]:
        if strength > 0:
            bn.addWeightedArc(f"c{cause}", f"f{f}", strength)
times = []
for _ in range(5):
    start = time.perf_counter()
    ie = gum.LazyPropagation(bn)
    for f, there, without in net["cases"][0]["evidence"]:
        ie.addEvidence(f"f{f}", [without, there])
    ie.setTargets({f"c{i}" for i in range(len(net["causes"]))})
    ie.makeInference()
    for i in range(len(net["causes"])):
        ie.posterior(f"c{i}")
    times.append(time.perf_counter() - start)
print(f"{statistics.median(times) * 1000:.1f} ms (pyagrum {gum.__version__}, lazy propagation, median of {len(times)})")
