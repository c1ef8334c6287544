"""What the men of the shipped systems cannot know: the table by call and man, and how long a study takes."""

import time

import fits
from fits.know.study import study

GROUPS = ("10", "11", "12", "20", "21")
LIB = fits.load_library()


def test_the_share_each_man_cannot_know(capsys):
    formations = [f for f in LIB.formations.values() if f.personnel in GROUPS]
    rows, slowest = [], 0.0
    for call in LIB.calls.values():
        start = time.perf_counter()
        known = study(call, formations, LIB.concepts.values())
        slowest = max(slowest, time.perf_counter() - start)
        bad = sum(not s.known for m in known.men for s in m.seen)
        rows.append(f"{call.name}: {known.cannot_know:.1%} of {known.pictures} pictures ({bad}), {known.looks} looks")
        for m in known.men:
            bad = sum(not s.known for s in m.seen)
            rows.append(
                f"    {m.role:<9}{bad:>5} of {len(m.seen):>4}  {m.cannot_know:>6.1%}   wrong {m.at_best_wrong:.1%}"
            )
    with capsys.disabled():
        print(f"\nslowest study {slowest:.1f} s")
        print("\n".join(rows))
    assert slowest < 10
