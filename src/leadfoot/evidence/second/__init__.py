"""Second opinions: other people's methods on the same balls, each with its source and its limits.

None of them decides anything in a lesson. They are here to be compared with the judging, to answer
a colleague who asks for the usual test, and to check the judging from outside.
"""

from leadfoot.evidence.second.bayes_factor import (
    jzs,
    jzs_one_sample,
    jzs_paired,
    jzs_two_sample,
)
from leadfoot.evidence.second.by_lot import (
    Randomised,
    pair_orders,
    randomisation_test,
    sign_flip,
)
from leadfoot.evidence.second.classic import Compared, brown_forsythe, paired_t, welch
from leadfoot.evidence.second.heavy_tails import Estimate, TGroups, t_groups
from leadfoot.evidence.second.overlaps import Overlap, overlap, trend_before
from leadfoot.evidence.second.repeats import Reliability, reliability, smallest_change
from leadfoot.evidence.second.sequences import (
    Sequence,
    best_rho,
    change_sequence,
    normal_mixture_bound,
    normal_mixture_log_e,
    one_sided_bound,
    one_sided_log_e,
    t_change_log_e,
    t_mixture_log_e,
)
from leadfoot.evidence.second.shrinkage import (
    Pooled,
    Shrunk,
    james_stein,
    pooled_effect,
    shrink,
    shrink_unknown,
)

__all__ = [
    "Compared",
    "Estimate",
    "Overlap",
    "Pooled",
    "Randomised",
    "Reliability",
    "Sequence",
    "Shrunk",
    "TGroups",
    "best_rho",
    "brown_forsythe",
    "change_sequence",
    "james_stein",
    "jzs",
    "jzs_one_sample",
    "jzs_paired",
    "jzs_two_sample",
    "normal_mixture_bound",
    "normal_mixture_log_e",
    "one_sided_bound",
    "one_sided_log_e",
    "overlap",
    "pair_orders",
    "paired_t",
    "pooled_effect",
    "randomisation_test",
    "reliability",
    "shrink",
    "shrink_unknown",
    "sign_flip",
    "smallest_change",
    "t_change_log_e",
    "t_groups",
    "t_mixture_log_e",
    "trend_before",
    "welch",
]
