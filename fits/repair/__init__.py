"""The smallest changes that make a look sound, what each of them costs, and whether any fit could be in time."""

from fits.repair.price import Effect, Price, PriceList, library_looks
from fits.repair.reach import Reach, could_reach, least_cost
from fits.repair.search import Repair, repair_look, with_rules
from fits.repair.words import Vacancy

__all__ = [
    "Effect", "Price", "PriceList", "Reach", "Repair", "Vacancy", "could_reach", "least_cost", "library_looks",
    "repair_look", "with_rules",
]  # fmt: skip
