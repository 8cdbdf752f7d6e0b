"""Everything that goes by ranks: methods ranked by tasters, and the ranks of paired differences.

>>> from trialbench.stats import ranks
>>> ranks.friedman([[7, 5, 3], [6, 6, 4], [8, 5, 5], [5, 6, 2], [9, 7, 6]]).p
0.0216...
"""

from trialbench.stats.durbin import DurbinResult, durbin
from trialbench.stats.friedman import FriedmanResult, RankPair, friedman
from trialbench.stats.page_trend import PageResult, page
from trialbench.stats.signed_ranks import doubled_ranks, hodges_lehmann, sign_p, signed_rank_p

__all__ = [
    "DurbinResult",
    "FriedmanResult",
    "PageResult",
    "RankPair",
    "doubled_ranks",
    "durbin",
    "friedman",
    "hodges_lehmann",
    "page",
    "sign_p",
    "signed_rank_p",
]
