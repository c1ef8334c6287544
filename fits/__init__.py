"""The fit engine: derive, prove and explain every defender's run fit. Pure Python, no Django.

>>> import fits
>>> lib = fits.load_library()
>>> look = fits.derive_look(lib.call("odd-three-safety"), lib.formation("10-doubles"), lib.concept("inside-zone"))
>>> look.sound
True
"""

from fits.audit.finding import HINT, UNSOUND, WARNING, Finding
from fits.blocking.build import build_concept, build_option
from fits.blocking.concepts import Concept, Option
from fits.defense.build import build_system
from fits.defense.system import Call, System
from fits.derive.look import Block, Defender, Lane, Look, PassSide, Threat, Verdict
from fits.deriver import Deriver, derive_look
from fits.errors import BadRequest, FileError, FitsError, IllegalFormation, NoRule, NotRunnable, UnknownName
from fits.field import COLLEGE, LEFT, RIGHT, RULE_BOOKS, Hash, RuleBook, Side
from fits.library import Library, load_library, read_system
from fits.matrix import NotRun, derive_matrix
from fits.notation.look_json import look_json
from fits.notation.toml import format_toml
from fits.offense.build import build_formation
from fits.offense.formation import Formation, Kind, OffensiveMan
from fits.offense.legality import Violation, check_formation
from fits.offense.motion import Motion, build_motion
from fits.repair import Reach, Repair, could_reach, repair_look, with_rules
from fits.spec import LookSpec
from fits.terms import Band, Severity
from fits.timing import Speed, speed_from_splits

__all__ = [
    "COLLEGE",
    "HINT",
    "LEFT",
    "RIGHT",
    "RULE_BOOKS",
    "UNSOUND",
    "WARNING",
    "BadRequest",
    "Band",
    "Block",
    "Call",
    "Concept",
    "Defender",
    "Deriver",
    "FileError",
    "Finding",
    "FitsError",
    "Formation",
    "Hash",
    "IllegalFormation",
    "Kind",
    "Lane",
    "Library",
    "Look",
    "LookSpec",
    "Motion",
    "NoRule",
    "NotRun",
    "NotRunnable",
    "OffensiveMan",
    "Option",
    "PassSide",
    "Reach",
    "Repair",
    "RuleBook",
    "Severity",
    "Side",
    "Speed",
    "System",
    "Threat",
    "UnknownName",
    "Verdict",
    "Violation",
    "build_concept",
    "build_formation",
    "build_motion",
    "build_option",
    "build_system",
    "check_formation",
    "could_reach",
    "derive_look",
    "derive_matrix",
    "format_toml",
    "load_library",
    "look_json",
    "read_system",
    "repair_look",
    "speed_from_splits",
    "with_rules",
]  # fmt: skip
