"""What the men of a call can know, and the ladder of reads that gives each his fits.

>>> import fits
>>> from fits.know import study
>>> lib = fits.load_library()
>>> known = study(lib.call("odd-three-safety"), [lib.formation("10-doubles")], lib.concepts.values(), roles=["CB"])
>>> [man.role for man in known.men]
['left CB', 'right CB']
"""

from fits.know.findings import cannot_know, known_together, with_knowledge
from fits.know.ladder import Ladder, Read, Rung, ladder, looks_ladder
from fits.know.study import Demand, Knowledge, ManKnows, Seen, Unknown, study, study_looks

__all__ = [
    "Demand",
    "Knowledge",
    "Ladder",
    "ManKnows",
    "Read",
    "Rung",
    "Seen",
    "Unknown",
    "cannot_know",
    "known_together",
    "ladder",
    "looks_ladder",
    "study",
    "study_looks",
    "with_knowledge",
]  # fmt: skip
