"""Reference values for exact inference in two-layer noisy-OR networks.

pyagrum computes what is stored. Two other ways check it in the same run:
enumeration of all states in plain Python (up to 12 causes), and Quickscore in
exact fractions (up to 10 findings that are seen or weak). How to run: README.md.
"""

import itertools
import json
import math
import os
import random
import shutil
import sys
from fractions import Fraction
from pathlib import Path

import pyagrum as gum

SEEN, NOT_SEEN = (1.0, 0.0), (0.0, 1.0)
TOLERANCE = 1e-12
checks = {"enumeration": 0, "quickscore": 0, "worst": 0.0}


def r15(x):
    """A number with 15 significant digits."""
    return float(format(x, ".15g"))


def close(a, b, what):
    """Asserts agreement to a relative 1e-12; zero only agrees with zero."""
    gap = 0.0 if a == b else abs(a - b) / max(abs(a), abs(b))
    checks["worst"] = max(checks["worst"], gap)
    assert gap <= TOLERANCE, f"{what}: {a!r} {b!r}, relative {gap:.3g}"


class Network:
    """P(finding not seen | causes) = (1 - leak) * product over present (1 - c)."""

    def __init__(self, name, about, causes, findings):
        self.name, self.about = name, about
        self.causes = [r15(p) for p in causes]
        self.findings = [
            (r15(leak), [(i, r15(c)) for i, c in links]) for leak, links in findings
        ]
        self.cases = []
        self._states = None

    def states(self):
        """All states: (present, prior, P(not seen) of each finding)."""
        if self._states is None:
            self._states = []
            for on in itertools.product((0, 1), repeat=len(self.causes)):
                prior = math.prod(p if x else 1 - p for x, p in zip(on, self.causes))
                miss = [
                    (1 - leak) * math.prod(1 - c for i, c in links if on[i])
                    for leak, links in self.findings
                ]
                self._states.append((on, prior, miss))
        return self._states

    def enumerate(self, evidence):
        """P(e), P(e, none), P(e, i), P(e, i, j), by enumeration."""
        n = len(self.causes)
        total, none = 0.0, 0.0
        one, two = [0.0] * n, {p: 0.0 for p in itertools.combinations(range(n), 2)}
        for on, weight, miss in self.states():
            for f, l1, l0 in evidence:
                weight *= l1 * (1 - miss[f]) + l0 * miss[f]
            total += weight
            there = [i for i in range(n) if on[i]]
            none += 0.0 if there else weight
            for i in there:
                one[i] += weight
            for pair in itertools.combinations(there, 2):
                two[pair] += weight
        return total, none, one, two

    def quickscore(self, evidence):
        """The same sums by Quickscore (Heckerman 1989) in exact fractions.

        A finding's factor is l1 + (l0 - l1) * P(not seen | causes): a constant
        and a product over causes. Not seen has no constant, so only seen and
        weak findings double the number of terms.
        """
        n = len(self.causes)
        exact = lambda x: Fraction(repr(x))
        priors = [exact(p) for p in self.causes]
        terms = [(Fraction(1), [Fraction(1)] * n)]
        for f, l1, l0 in evidence:
            leak, links = self.findings[f]
            constant, factor = exact(l1), exact(l0) - exact(l1)
            grown = []
            for weight, keep in terms:
                if constant:
                    grown.append((weight * constant, keep))
                if factor:
                    more = list(keep)
                    for i, c in links:
                        more[i] *= 1 - exact(c)
                    grown.append((weight * factor * (1 - exact(leak)), more))
            terms = grown
        total, none, one = Fraction(0), Fraction(0), [Fraction(0)] * n
        two = {p: Fraction(0) for p in itertools.combinations(range(n), 2)}
        absent = math.prod(1 - p for p in priors)
        for weight, keep in terms:
            on = [p * k for p, k in zip(priors, keep)]
            both = [x + 1 - p for x, p in zip(on, priors)]
            product = weight * math.prod(both)
            share = [x / b for x, b in zip(on, both)]
            total += product
            none += weight * absent
            for i in range(n):
                one[i] += product * share[i]
            for i, j in two:
                two[i, j] += product * share[i] * share[j]
        return (
            float(total),
            float(none),
            [float(x) for x in one],
            {p: float(x) for p, x in two.items()},
            float(total - none),
        )

    def graph(self, with_or):
        """The network in pyagrum; a link of strength 0 is no arc there."""
        bn = gum.BayesNet()
        for i, p in enumerate(self.causes):
            bn.add(gum.LabelizedVariable(f"c{i}", "", 2))
            bn.cpt(f"c{i}").fillWith([1 - p, p])
        for f, (leak, links) in enumerate(self.findings):
            # addNoisyORNet has the leak separate, addNoisyOR has it included.
            bn.addNoisyORNet(gum.LabelizedVariable(f"f{f}", "", 2), leak)
            for i, c in links:
                if c > 0:
                    bn.addWeightedArc(f"c{i}", f"f{f}", c)
        if with_or:
            bn.addOR(gum.LabelizedVariable("any", "", 2))
            for i in range(len(self.causes)):
                bn.addArc(f"c{i}", "any")
        return bn


def infer(bn, evidence, hard=(), pairs=(), n=0):
    """P(e), the posterior of each cause, and of each pair, by pyagrum."""
    ie = gum.LazyPropagation(bn)
    ie.setNumberOfThreads(1)
    for f, l1, l0 in evidence:
        ie.addEvidence(f"f{f}", [l0, l1])
    fixed = dict(hard)
    for name, value in fixed.items():
        ie.addEvidence(name, value)
    ie.addAllTargets()
    for i, j in pairs:
        ie.addJointTarget({f"c{i}", f"c{j}"})
    ie.makeInference()
    two = {}
    for i, j in pairs:
        joint = ie.jointPosterior({f"c{i}", f"c{j}"})
        two[i, j] = joint[{f"c{i}": 1, f"c{j}": 1}]
    return ie.evidenceProbability(), [float(ie.posterior(f"c{i}")[1]) for i in range(n)], two


def solve(net, evidence):
    """One case by pyagrum: P(e), causes, then the same given at least one cause."""
    n = len(net.causes)
    pairs = list(itertools.combinations(range(n), 2))
    if n <= 12:
        bn = net.graph(with_or=True)
        likelihood, causes, _ = infer(bn, evidence, n=n)
        fault, given, two = infer(bn, evidence, {"any": 1}, pairs, n)
        return likelihood, causes, fault, given, two
    # An OR of 20 causes would be too large: P(e) minus P(e, no cause) instead,
    # and P(i, j | e) = P(i | e) P(j | e, i).
    bn = net.graph(with_or=False)
    likelihood, causes, _ = infer(bn, evidence, n=n)
    none, _, _ = infer(bn, evidence, {f"c{i}": 0 for i in range(n)}, n=n)
    fault = likelihood - none
    up = likelihood / fault
    two = {}
    for i in range(n):
        if causes[i] > 0:
            _, given_i, _ = infer(bn, evidence, {f"c{i}": 1}, n=n)
        else:
            given_i = [0.0] * n
        for j in range(i + 1, n):
            two[i, j] = up * causes[i] * given_i[j]
    return likelihood, causes, fault, [up * p for p in causes], two


def check(net, evidence, got):
    """Compares pyagrum's answer with both other ways."""
    likelihood, causes, fault, given, two = got
    ways = []
    if len(net.causes) <= 12:
        total, _, one, both = net.enumerate(evidence)
        at_least = sum(
            w * math.prod(l1 * (1 - m[f]) + l0 * m[f] for f, l1, l0 in evidence)
            for on, w, m in net.states()
            if any(on)
        )
        ways.append(("enumeration", total, at_least, one, both))
    if sum(1 for _, l1, _ in evidence if l1 > 0) <= 10:
        total, _, one, both, at_least = net.quickscore(evidence)
        ways.append(("quickscore", total, at_least, one, both))
    assert ways, net.name
    for way, total, at_least, one, both in ways:
        what = f"{net.name} {evidence} {way}"
        close(likelihood, total, what)
        close(fault, at_least, what)
        for i in range(len(net.causes)):
            close(causes[i], one[i] / total, f"{what} cause {i}")
            close(given[i], one[i] / at_least, f"{what} cause {i} given a fault")
        for pair in both:
            close(two[pair], both[pair] / at_least, f"{what} pair {pair}")
        checks[way] += 1


def add(net, evidence):
    """Solves, checks and stores one case."""
    evidence = sorted([f, float(l1), float(l0)] for f, l1, l0 in evidence)
    assert len({f for f, _, _ in evidence}) == len(evidence)
    got = solve(net, evidence)
    check(net, evidence, got)
    likelihood, causes, fault, given, two = got
    rows = [[i, j, r15(p)] for (i, j), p in two.items()]
    if len(net.causes) > 8:
        # Equal pairs stay in order although their last digits may differ.
        rows = sorted(rows, key=lambda r: (-float(format(r[2], ".12g")), r[0], r[1]))[:10]
    net.cases.append(
        {
            "evidence": evidence,
            "likelihood": r15(likelihood),
            "causes": [r15(p) for p in causes],
            "given_fault": {
                "likelihood": r15(fault),
                "causes": [r15(p) for p in given],
                "pairs": rows,
            },
        }
    )
    return got


def seen(*findings):
    return [(f, *SEEN) for f in findings]


def not_seen(*findings):
    return [(f, *NOT_SEEN) for f in findings]


# The networks that have a source ------------------------------------------------


def leak_convention():
    """The trap of references.md c3: both conventions, so a change is noticed."""
    for method, table in (
        ("addNoisyORNet", [0.1, 0.64, 0.82, 0.928]),
        ("addNoisyOR", [0.1, 0.6, 0.8, 1 - 0.9 * (0.2 / 0.9) * (0.4 / 0.9)]),
    ):
        bn = gum.BayesNet()
        for c in ("one", "two"):
            bn.add(gum.LabelizedVariable(c, "", 2))
        getattr(bn, method)(gum.LabelizedVariable("f", "", 2), 0.1)
        bn.addWeightedArc("one", "f", 0.8)
        bn.addWeightedArc("two", "f", 0.6)
        for (one, two), want in zip(itertools.product((0, 1), repeat=2), table):
            close(bn.cpt("f")[{"one": one, "two": two, "f": 1}], want, method)


def fever():
    net = Network(
        "fever",
        "Three causes (cold, flu, malaria) of one finding without leak, strengths"
        " .4 .8 .9, after Russell and Norvig (references.md c3); the priors are ours.",
        [0.1, 0.1, 0.1],
        [(0.0, [(0, 0.4), (1, 0.8), (2, 0.9)])],
    )
    table = [0, 0.9, 0.8, 0.98, 0.4, 0.94, 0.88, 0.988]
    bn = net.graph(with_or=False)
    for on, want in zip(itertools.product((0, 1), repeat=3), table):
        got = bn.cpt("f0")[{"c0": on[0], "c1": on[1], "c2": on[2], "f0": 1}]
        close(float(got), float(want), f"fever {on}")
    for evidence in (seen(0), not_seen(0), []):
        add(net, evidence)
    return net


def worked():
    net = Network(
        "worked",
        "Three causes and three findings with separate leaks, a worked example of"
        " ours (references.md c4).",
        [0.1, 0.03, 0.05],
        [
            (0.01, [(0, 0.8), (1, 0.6)]),
            (0.02, [(0, 0.3), (2, 0.9)]),
            (0.05, [(1, 0.7), (2, 0.4)]),
        ],
    )
    # Seen, not seen, P(e), d1, d2, d3, most probable joint and its posterior.
    rows = [
        ((), (), 1, 0.1, 0.03, 0.05, (0, 0, 0), 0.829350),
        ((0,), (), 0.10559440, 0.762885, 0.180600, 0.050000, (1, 0, 0), 0.699888),
        ((0, 1), (), 0.02938642, 0.945385, 0.067991, 0.166088, (1, 0, 0), 0.789683),
        ((0, 1, 2), (), 0.00442281, 0.771896, 0.345276, 0.552477, (1, 0, 1), 0.352227),
        ((0, 1), (2,), 0.02496361, 0.976122, 0.018864, 0.097631, (1, 0, 0), 0.883112),
        ((0,), (1, 2), 0.06091660, 0.801591, 0.079706, 0.003148, (1, 0, 0), 0.790645),
        ((), (0, 1, 2), 0.78163597, 0.015317, 0.003698, 0.003148, (0, 0, 0), 0.977953),
        ((0, 2), (), 0.01971419, 0.373266, 0.697165, 0.134458, (0, 1, 0), 0.561890),
    ]
    for on, off, p, d1, d2, d3, joint, top in rows:
        evidence = seen(*on) + not_seen(*off)
        likelihood, causes, *_ = add(net, evidence)
        assert abs(likelihood - p) < 1e-6, (on, off, likelihood)
        assert all(abs(a - b) < 1e-6 for a, b in zip(causes, (d1, d2, d3))), causes
        weights = {
            state: w * math.prod(l1 * (1 - m[f]) + l0 * m[f] for f, l1, l0 in evidence)
            for state, w, m in net.states()
        }
        best = max(weights, key=weights.get)
        assert best == joint and abs(weights[best] / likelihood - top) < 1e-6, best
    # Beyond the table: weak evidence.
    add(net, [(0, 1.0, 0.4)])
    add(net, seen(1) + [(0, 1.0, 0.4), (2, 0.3, 1.0)])
    return net


def two_state(bn, name, parents, table):
    """A node of a network; the table has P(true) for each state of the parents."""
    bn.add(gum.LabelizedVariable(name, "", 2))
    for parent in parents:
        bn.addArc(parent, name)
    for on, p in zip(itertools.product((0, 1), repeat=len(parents)), table):
        bn.cpt(name)[dict(zip(parents, on))] = [1 - p, p]


def asia():
    """The chest clinic of Lauritzen and Spiegelhalter, tables of references.md c1."""
    bn = gum.BayesNet()
    two_state(bn, "A", [], [0.01])
    two_state(bn, "S", [], [0.5])
    two_state(bn, "T", ["A"], [0.01, 0.05])
    two_state(bn, "L", ["S"], [0.01, 0.10])
    two_state(bn, "B", ["S"], [0.30, 0.60])
    two_state(bn, "E", ["T", "L"], [0, 1, 1, 1])
    two_state(bn, "X", ["E"], [0.05, 0.98])
    two_state(bn, "D", ["E", "B"], [0.1, 0.8, 0.7, 0.9])
    assert abs(full(bn, {}, "D")[1] - 0.435971) < 1e-6
    assert abs(full(bn, {}, "X")[1] - 0.110290) < 1e-6
    assert abs(full(bn, {"X": 1, "D": 1}, "L")[1] - 0.621253) < 1e-6
    return bn


def alarm():
    """The burglary alarm of Pearl, tables of references.md c2."""
    bn = gum.BayesNet()
    two_state(bn, "B", [], [0.001])
    two_state(bn, "E", [], [0.002])
    two_state(bn, "A", ["B", "E"], [0.001, 0.29, 0.94, 0.95])
    two_state(bn, "J", ["A"], [0.05, 0.90])
    two_state(bn, "M", ["A"], [0.01, 0.70])
    close(full(bn, {"J": 1, "M": 1}, "B")[1], 0.2841718353643929, "alarm")
    return bn


def full(bn, hard, target):
    """P(hard) and P(target | hard) in a whole network."""
    ie = gum.LazyPropagation(bn)
    ie.setNumberOfThreads(1)
    for name, value in hard.items():
        ie.addEvidence(name, value)
    ie.addAllTargets()
    ie.makeInference()
    return ie.evidenceProbability(), float(ie.posterior(target)[1])


def agree(net, evidence, bn, hard, given, target):
    """The two-layer piece must say what the whole network says."""
    likelihood, causes, *_ = add(net, evidence)
    p, posterior = full(bn, {**hard, **given}, target)
    base, _ = full(bn, given, target)
    what = f"{net.name} {hard} in the whole network"
    close(likelihood, p / base, what)
    close(causes[0], posterior, what)


def strength(leak, with_cause):
    """The strength that makes a finding as likely as a table says."""
    return 1 - (1 - with_cause) / (1 - leak)


def asia_pieces():
    bn = asia()
    source = " (Lauritzen and Spiegelhalter 1988, references.md c1)"
    smoking = Network(
        "asia smoking",
        "The part smoking -> lung cancer, bronchitis of the chest clinic" + source
        + "; with one parent each, it is noisy-OR as it stands.",
        [0.5],
        [(0.01, [(0, strength(0.01, 0.10))]), (0.30, [(0, strength(0.30, 0.60))])],
    )
    for hard in ({"L": 1}, {"B": 1}, {"L": 1, "B": 1}, {"L": 0, "B": 0}, {}):
        evidence = [
            (f, *(SEEN if hard[v] else NOT_SEEN)) for f, v in enumerate("LB") if v in hard
        ]
        agree(smoking, evidence, bn, hard, {}, "S")
    out = [smoking]
    for name, cause, other, words in (
        ("asia tuberculosis x-ray", "T", "L", ("tuberculosis", "lung cancer")),
        ("asia lung cancer x-ray", "L", "T", ("lung cancer", "tuberculosis")),
    ):
        prior = full(bn, {}, cause)[1]
        piece = Network(
            name,
            f"The part {words[0]} -> X-ray of the chest clinic{source} when {words[1]}"
            " is known to be absent; with both the clinic has .98, not the"
            " .99958 of a noisy-OR.",
            [prior],
            [(0.05, [(0, strength(0.05, 0.98))])],
        )
        for hard in ({"X": 1}, {"X": 0}):
            evidence = seen(0) if hard["X"] else not_seen(0)
            agree(piece, evidence, bn, hard, {other: 0}, cause)
        out.append(piece)
    return out


def alarm_piece():
    bn = alarm()
    leak, burglary = 0.001, strength(0.001, 0.94)
    quake = strength(0.001, 0.29)
    both = 1 - (1 - leak) * (1 - burglary) * (1 - quake)
    assert abs(both - 0.957357) < 1e-6
    net = Network(
        "alarm",
        "Burglary -> alarm when an earthquake is known to be absent (Pearl 1988,"
        " Russell and Norvig, references.md c2); the whole network is no noisy-OR,"
        " which would give an alarm .957 under burglary and earthquake where the"
        " table has .95. The two weak cases are the callers, one and both.",
        [0.001],
        [(leak, [(0, burglary)])],
    )
    given = {"E": 0}
    agree(net, seen(0), bn, {"A": 1}, given, "B")
    agree(net, not_seen(0), bn, {"A": 0}, given, "B")
    agree(net, [(0, 0.90, 0.05)], bn, {"J": 1}, given, "B")
    agree(net, [(0, 0.9 * 0.7, 0.05 * 0.01)], bn, {"J": 1, "M": 1}, given, "B")
    return net


# The random networks ------------------------------------------------------------

# Causes, findings, link density.
SIZES = [
    (4, 5, 0.60), (4, 8, 0.35), (5, 6, 0.45), (6, 10, 0.15), (6, 12, 0.50), (7, 9, 0.30),
    (8, 14, 0.25), (8, 20, 0.55), (9, 16, 0.40), (10, 18, 0.20), (11, 15, 0.15), (12, 20, 0.30),
]  # fmt: skip


def random_network(name, about, rng, n, m, density):
    priors = [round(math.exp(rng.uniform(math.log(0.005), math.log(0.3))), 3) for _ in range(n)]
    findings = []
    for _ in range(m):
        leak = 0.0 if rng.random() < 0.25 else round(rng.uniform(0.001, 0.1), 3)
        links = []
        for i in range(n):
            if rng.random() < density:
                u = rng.random()
                c = 0.0 if u < 0.05 else 1.0 if u < 0.12 else round(rng.uniform(0.05, 0.99), 2)
                links.append((i, c))
        findings.append((leak, links))
    return Network(name, about, priors, findings)


def sample(net, rng):
    """Which findings are there, drawn from the network."""
    on = [rng.random() < p for p in net.causes]
    out = []
    for leak, links in net.findings:
        miss = (1 - leak) * math.prod(1 - c for i, c in links if on[i])
        out.append(rng.random() >= miss)
    return out


def weak(rng):
    x = round(rng.uniform(0.05, 0.95), 2)
    return rng.choice([(1.0, x), (x, 1.0), (round(rng.uniform(0.05, 0.95), 2), x)])


def random_evidence(net, rng, drawn):
    """Seen, not seen, weak, not looked for; `drawn` from the network or by chance."""
    truth = sample(net, rng) if drawn else [rng.random() < 0.5 for _ in net.findings]
    out = []
    for f, there in enumerate(truth):
        u = rng.random()
        if u < 0.65:
            out.append((f, *(SEEN if there else NOT_SEEN)))
        elif u < 0.80:
            out.append((f, *weak(rng)))
    return out


def rare_evidence(net, rng):
    """Evidence of a probability below 1e-9, if 300 tries find some."""
    for _ in range(300):
        evidence = [(f, *(SEEN if rng.random() < 0.6 else NOT_SEEN)) for f in range(len(net.findings))]
        total, none, *_ = net.enumerate(evidence)
        if 0 < total < 1e-9 and total - none > 0:
            return evidence
    return None


def random_networks():
    out, rare = [], 0
    for k, (n, m, density) in enumerate(SIZES):
        seed = 1000 + k
        rng = random.Random(seed)
        net = random_network(
            f"random {k + 1}",
            f"Drawn by chance (seed {seed}, link density {density:.0%}); invented.",
            rng, n, m, density,
        )  # fmt: skip
        evidence = rare_evidence(net, rng)
        if evidence:
            add(net, evidence)
            rare += 1
        while len(net.cases) < 6:
            evidence = random_evidence(net, rng, drawn=len(net.cases) % 2 == 0)
            total, none, *_ = net.enumerate(evidence)
            if total > 0 and total > none:
                add(net, evidence)
        out.append(net)
    assert rare >= 1
    return out, rare


def large_network():
    """20 causes, 40 findings: 8 seen, 20 not seen, 2 weak, 10 not looked for."""
    seed = 2000
    rng = random.Random(seed)
    net = random_network(
        "large",
        f"20 causes and 40 findings drawn by chance (seed {seed}, link density 12%); invented.",
        rng, 20, 40, 0.12,
    )  # fmt: skip
    while len(net.cases) < 2:
        truth = sample(net, rng)
        on = [f for f in range(40) if truth[f]]
        off = [f for f in range(40) if not truth[f]]
        if len(on) < 8 or len(off) < 20:
            continue
        on, off = rng.sample(on, 8), rng.sample(off, 20)
        rest = [f for f in range(40) if f not in on and f not in off]
        add(net, seen(*on) + not_seen(*off) + [(f, *weak(rng)) for f in rng.sample(rest, 2)])
    return net


def text(networks):
    """JSON with one line for a network's head and one for each case."""
    blocks = []
    for net in networks:
        head = {
            "name": net.name,
            "about": net.about,
            "causes": net.causes,
            "findings": [
                {"leak": leak, "links": [list(link) for link in links]}
                for leak, links in net.findings
            ],
        }
        cases = ",\n".join(json.dumps(case) for case in net.cases)
        blocks.append(json.dumps(head)[:-1] + ', "cases": [\n' + cases + "\n]}")
    made_by = json.dumps(f"networks.py, pyagrum {gum.__version__}")
    return f'{{"made_by": {made_by}, "networks": [\n' + ",\n".join(blocks) + "\n]}\n"


def steady():
    """Starts the script anew at fixed memory addresses and with a fixed hash seed.

    pyagrum adds in an order that follows from memory addresses, so the 15th digit
    of some numbers changes from run to run. With fixed addresses it does not, as
    long as the script and Python lie in the same folders: see README.md.
    """
    if os.environ.get("PYTHONHASHSEED") != "0":
        setarch = shutil.which("setarch")
        if setarch is None:
            sys.exit("networks.py needs setarch (util-linux) to give the same bytes each time")
        again = [setarch, "-R", sys.executable, "-B", os.path.abspath(__file__)]
        os.execve(setarch, again, {"PYTHONHASHSEED": "0"})


def numbers(x):
    """All numbers of a JSON value, in order."""
    if isinstance(x, dict):
        x = x.values()
    elif not isinstance(x, list):
        return [x] if isinstance(x, (int, float)) else []
    return [n for part in x for n in numbers(part)]


def compare(old, new):
    """Says how far the new file is from the one that was there."""
    a, b = numbers(json.loads(old)), numbers(json.loads(new))
    if old == new:
        print("the same bytes as the file that was there")
    elif len(a) != len(b):
        print("another shape than the file that was there")
    else:
        gaps = [abs(x - y) / max(abs(x), abs(y)) for x, y in zip(a, b) if x != y]
        top = max(gaps, default=0.0)
        print(f"NOT the bytes that were there: {len(gaps)} of {len(a)} numbers, relative {top:.2g} at most")


def main():
    steady()
    leak_convention()
    chance, rare = random_networks()
    networks = [fever(), worked(), *asia_pieces(), alarm_piece(), *chance, large_network()]
    path, new = Path(__file__).with_name("networks.json"), text(networks)
    if path.exists():
        compare(path.read_text(encoding="utf-8"), new)
    path.write_text(new, encoding="utf-8")
    cases = sum(len(net.cases) for net in networks)
    print(f"{len(networks)} networks, {cases} cases, {rare} with P(e) < 1e-9")
    print(f"checked by enumeration: {checks['enumeration']}, by Quickscore: {checks['quickscore']}")
    print(f"largest relative gap of all checks: {checks['worst']:.2g}")


if __name__ == "__main__":
    main()
