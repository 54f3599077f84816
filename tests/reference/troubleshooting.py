"""Reference values for troubleshooting: the least expected cost of small cases.

One cause is there, and only one. A test may be done once; its results are
independent given the cause. Each cause has one repair that always mends it; the
console is tried afterwards for free. One may stop at any time for the stop
cost. Dynamic programming in exact fractions. How to run: README.md.
"""

import itertools
import json
import random
from fractions import Fraction
from functools import cache
from pathlib import Path


def exact(x):
    return Fraction(repr(x))


class Case:
    def __init__(self, causes, repairs, tests, stop):
        self.causes, self.repairs, self.tests, self.stop = causes, repairs, tests, stop
        self.p = [exact(x) for x in causes]
        assert sum(self.p) == 1
        self.repair = [exact(x) for x in repairs]
        self.test = [(exact(c), [exact(x) for x in pos]) for c, pos in tests]
        self.stop_cost = exact(stop)

    def weights(self, failed, results):
        """P(cause and what is known), for each cause."""
        out = list(self.p)
        for i in range(len(out)):
            if i in failed:
                out[i] = Fraction(0)
            for (_, positive), r in zip(self.test, results):
                if r is not None:
                    out[i] *= positive[i] if r else 1 - positive[i]
        return out


def actions(case):
    """The expected cost of each first action, with the best of all actions after it."""

    @cache
    def best(failed, results):
        return min(cost for _, cost in options(failed, results))

    def options(failed, results):
        w = case.weights(failed, results)
        total = sum(w)
        assert total > 0
        yield ["stop"], case.stop_cost
        for i, cost in enumerate(case.repair):
            if i not in failed:
                left = (total - w[i]) / total
                after = left * best(failed | {i}, results) if left else 0
                yield ["repair", i], cost + after
        for t, (cost, positive) in enumerate(case.test):
            if results[t] is None:
                after = Fraction(0)
                for r in (True, False):
                    share = sum(x * (q if r else 1 - q) for x, q in zip(w, positive)) / total
                    if share:
                        after += share * best(failed, results[:t] + (r,) + results[t + 1 :])
                yield ["test", t], cost + after

    return list(options(frozenset(), (None,) * len(case.test)))


# A second way: every plan, as a tree, run on every cause and every result ----------


def plans(case, failed=frozenset(), done=frozenset()):
    """All plans: a stop, a repair and what follows, a test and what follows each result."""
    yield ("stop",)
    for i in range(len(case.p)):
        if i not in failed:
            for after in plans(case, failed | {i}, done):
                yield ("repair", i, after)
    for t in range(len(case.test)):
        if t not in done:
            rest = list(plans(case, failed, done | {t}))
            for yes, no in itertools.product(rest, rest):
                yield ("test", t, yes, no)


def count_plans(causes, tests):
    if causes == 0:
        return 1 if tests == 0 else 1 + tests * count_plans(0, tests - 1) ** 2
    out = 1 + causes * count_plans(causes - 1, tests)
    return out + (tests * count_plans(causes, tests - 1) ** 2 if tests else 0)


def run(case, plan):
    """Expected cost of a plan: no Bayes' rule, only a sum over all worlds."""
    total = Fraction(0)
    for cause, p in enumerate(case.p):
        for world in itertools.product((True, False), repeat=len(case.test)):
            chance, cost, at = p, Fraction(0), plan
            for (_, positive), r in zip(case.test, world):
                chance *= positive[cause] if r else 1 - positive[cause]
            while True:
                if at[0] == "stop":
                    cost += case.stop_cost
                    break
                if at[0] == "repair":
                    cost += case.repair[at[1]]
                    if at[1] == cause:
                        break
                    at = at[2]
                else:
                    cost += case.test[at[1]][0]
                    at = at[2] if world[at[1]] else at[3]
            total += chance * cost
    return total


def draw(rng, causes, tests):
    cuts = sorted(rng.sample(range(1, 40), causes - 1))
    parts = [b - a for a, b in zip([0, *cuts], [*cuts, 40])]
    chances = [0.02, 0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.8, 0.9, 0.95, 1.0, 0.0]
    return Case(
        [x / 40 for x in parts],
        [rng.randint(2, 80) for _ in range(causes)],
        [(rng.randint(1, 12), [rng.choice(chances) for _ in range(causes)]) for _ in range(tests)],
        rng.randint(50, 200),
    )


def worked():
    """Repairs in the order p/C of references.md c7, example 1: 31.3 - 23.5 = 7.8."""
    case = Case([0.4, 0.3, 0.2, 0.1], [8, 3, 1, 4], [], 1000)
    assert min(cost for _, cost in actions(case)) == Fraction("7.8")


def main():
    worked()
    rng = random.Random(3000)
    sizes = [(c, t) for t in range(4) for c in (2, 3, 4)] + [(2, 1), (2, 2), (3, 1), (3, 2)] + [(4, 3)] * 4
    out, seconds, firsts = [], 0, {}
    for causes, tests in sizes:
        case = draw(rng, causes, tests)
        first = actions(case)
        optimum = min(cost for _, cost in first)
        if count_plans(causes, tests) <= 20000:
            assert optimum == min(run(case, plan) for plan in plans(case))
            seconds += 1
        for action, cost in first:
            if cost == optimum:
                firsts[action[0]] = firsts.get(action[0], 0) + 1
        out.append(
            {
                "causes": case.causes,
                "repairs": case.repairs,
                "tests": [{"cost": c, "positive": pos} for c, pos in case.tests],
                "stop": case.stop,
                "optimum": float(format(float(optimum), ".15g")),
                "first": [[*action, float(format(float(cost), ".15g"))] for action, cost in first],
            }
        )
    assert len(out) == 20
    cases = ",\n".join(json.dumps(x) for x in out)
    Path(__file__).with_name("troubleshooting.json").write_text(
        f'{{"made_by": "troubleshooting.py, plain Python", "cases": [\n{cases}\n]}}\n', encoding="utf-8"
    )
    print(f"{len(out)} cases, {seconds} of them checked against all plans; best first actions {firsts}")


if __name__ == "__main__":
    main()
