"""Does the order of the questions teach? Simulated players, asked by the quiz and asked at random.

How they forget: p = 2^(-d/h) after d days; h doubles with each right answer and halves with each wrong one (B. Settles
and B. Meeder, "A trainable spaced repetition model for language learning", ACL 2016, section 3: half-life, and the
Leitner system as its special case with weights of 1 and -1). How they learn a rule they have wrong: all or none, with
the same chance each time they are told (G. Bower, "Application of a model to paired-associate learning", Psychometrika
26, 1961; he fitted about a third, figure from memory, here 0.3). A man who does not know it guesses among the choices.
The number of rules, looks and days is our own assumption. What it cannot show is whether real players learn like that.
"""

import random
from datetime import UTC, datetime, timedelta
from statistics import mean

from playbook.quiz.picking import GAP, LENGTH, Given, Item, pick

LEARNERS = 60
DAYS = 10
LEARNS = 0.3
GUESSES = 0.25
KNOWN_H = 4.0  # days: half-life of what the meeting taught
START = datetime(2031, 9, 1, 18, tzinfo=UTC)
BAD = ("fit-2", "fit-5")


def pool():
    """Nine fit rules of unlike weight in 36 looks, three keys and three places: a backer's week."""
    items = []
    for n in range(36):
        rule = f"fit-{n % 9}"
        items.append(Item(1, "base", n, "fit", rule, share=0.08 / (1 + n % 9), twin=(1, "base", (n + 1) % 36, "fit")))
    items += [Item(1, "base", n, "key", f"key-{n % 3}") for n in range(9)]
    items += [Item(1, "base", n, "place", f"place-{n % 3}") for n in range(9)]
    return items


class Learner:
    """Forgets by half-lives; what is not among them was never learned."""

    def __init__(self, rules, seed):
        self.chance = random.Random(seed)
        self.known = {rule: (KNOWN_H, START) for rule in rules if rule not in BAD}

    def recall(self, rule, now):
        if rule not in self.known:
            return 0.0
        half_life, since = self.known[rule]
        return 2 ** (-((now - since) / timedelta(days=1)) / half_life)

    def right_chance(self, rule, now):
        knows = self.recall(rule, now)
        return knows + (1 - knows) * GUESSES

    def answer(self, rule, now):
        """Says whether he is right, and learns from being told."""
        right = self.chance.random() < self.right_chance(rule, now)
        if rule in self.known:
            half_life, _ = self.known[rule]
            self.known[rule] = (half_life * (2 if right else 0.5), now)
        elif self.chance.random() < LEARNS:
            self.known[rule] = (1.0, now)
        return right


def study(choose, seed, days, a_day=LENGTH):
    """Returns a learner after so many days with as many questions a day, his answers, and when the bad two held."""
    items = pool()
    learner, past, held = Learner({item.rule for item in items}, seed), [], None
    for day in range(days):
        now, asked, number = START + timedelta(days=day), 0, 0
        while asked < a_day:
            item = choose(items, past, f"{seed}-{day}-{number}", now, learner.chance)
            if item is None:
                number += 1
                continue
            right = learner.answer(item.rule, now)
            past.append(Given(item.key, item.topic, right, now, f"{seed}-{day}-{number}"))
            now, asked = now + timedelta(seconds=20), asked + 1
            if held is None and all(learner.right_chance(rule, now) >= 0.9 for rule in BAD):
                held = len(past)
    return learner, past, held


def by_quiz(items, past, round_, now, chance):
    return pick(items, past, round_, now, week=1)


def at_random(items, past, round_, now, chance):
    return chance.choice(items)


def test_two_wrong_rules_are_learned_in_fewer_questions_than_at_random_and_more_is_left_a_week_later():
    found = {}
    for name, choose in (("quiz", by_quiz), ("random", at_random)):
        runs = [study(choose, seed, days=DAYS) for seed in range(LEARNERS)]
        later = START + timedelta(days=DAYS - 1 + 7)
        rules = sorted({item.rule for item in pool()})
        found[name] = {
            "held": mean(held if held is not None else len(past) for _, past, held in runs),
            "never": sum(held is None for _, _, held in runs),
            "all": mean(one.recall(rule, later) for one, _, _ in runs for rule in rules),
            "bad": mean(one.recall(rule, later) for one, _, _ in runs for rule in BAD),
            "runs": runs,
        }
    for name, sums in found.items():
        print(
            f"\n{name}: both wrong rules right at 90 % after {sums['held']:.1f} questions on average "
            f"({sums['never']} of {LEARNERS} never within {DAYS * LENGTH}); a week after the last question "
            f"{sums['all']:.0%} of all rules are still known, {sums['bad']:.0%} of the two"
        )
    for _, past, _ in found["quiz"]["runs"]:
        keys = [given.key for given in past]
        assert all(key not in keys[max(0, n - GAP) : n] for n, key in enumerate(keys)), "the same within three"
    assert found["quiz"]["held"] < 0.7 * found["random"]["held"]
    assert found["quiz"]["never"] <= found["random"]["never"]
    assert found["quiz"]["all"] > found["random"]["all"] and found["quiz"]["bad"] > found["random"]["bad"]
