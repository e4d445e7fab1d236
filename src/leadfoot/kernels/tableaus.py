"""The two Runge-Kutta rules that flights are stepped by, as published.

The tests hold each to the conditions of its order, and the second to the table in scipy.
"""

from math import sqrt
from typing import NamedTuple

Coefficients = tuple[float, ...]


class Tableau(NamedTuple):
    """An explicit Runge-Kutta rule."""

    rows: tuple[Coefficients, ...]
    """For each stage after the first, how far along each slope found before it is looked."""
    weights: Coefficients
    """How much each slope counts in the step."""

    def twice(self) -> "Tableau":
        """The rule for what changes at the rate of what is stepped: places, where speeds are.

        With v the speed at the start, h the length and k the slopes of the speed, a place after the
        share c of the step is ``h c v + h² Σ k`` with these coefficients. Nothing new: it is the
        same rule, its second sum taken beforehand (E. Hairer, S. P. Norsett and G. Wanner, Solving
        Ordinary Differential Equations I, 2nd ed., Springer, 1993, section II.14; from memory, the
        tests hold it to the rule itself).
        """
        return Tableau(tuple(map(self._twice, self.rows)), self._twice(self.weights))

    def _twice(self, row: Coefficients) -> Coefficients:
        before: tuple[Coefficients, ...] = ((), *self.rows)
        sums = [0.0] * len(row)
        for factor, earlier in zip(row, before, strict=False):
            for j, value in enumerate(earlier):
                sums[j] += factor * value
        return tuple(sums)


_ROOT = sqrt(21.0)

SIXTH_ORDER = Tableau(
    rows=(
        (1.0,),
        (3.0 / 8.0, 1.0 / 8.0),
        (8.0 / 27.0, 2.0 / 27.0, 8.0 / 27.0),
        (
            3.0 * (3.0 * _ROOT - 7.0) / 392.0,
            -8.0 * (7.0 - _ROOT) / 392.0,
            48.0 * (7.0 - _ROOT) / 392.0,
            -3.0 * (21.0 - _ROOT) / 392.0,
        ),
        (
            -5.0 * (231.0 + 51.0 * _ROOT) / 1960.0,
            -40.0 * (7.0 + _ROOT) / 1960.0,
            -320.0 * _ROOT / 1960.0,
            3.0 * (21.0 + 121.0 * _ROOT) / 1960.0,
            392.0 * (6.0 + _ROOT) / 1960.0,
        ),
        (
            15.0 * (22.0 + 7.0 * _ROOT) / 180.0,
            120.0 / 180.0,
            40.0 * (7.0 * _ROOT - 5.0) / 180.0,
            -63.0 * (3.0 * _ROOT - 2.0) / 180.0,
            -14.0 * (49.0 + 9.0 * _ROOT) / 180.0,
            70.0 * (7.0 - _ROOT) / 180.0,
        ),
    ),
    weights=(9.0 / 180.0, 0.0, 64.0 / 180.0, 0.0, 49.0 / 180.0, 49.0 / 180.0, 9.0 / 180.0),
)
"""H. A. Luther, "An explicit sixth-order Runge-Kutta formula," Mathematics of Computation, vol. 22,
pp. 434-436, 1968 (from memory; the tests check its order)."""

EIGHTH_ORDER = Tableau(
    rows=(
        (0.05260015195876773,),
        (
            0.0197250569845379,
            0.0591751709536137,
        ),
        (
            0.02958758547680685,
            0.0,
            0.08876275643042054,
        ),
        (
            0.2413651341592667,
            0.0,
            -0.8845494793282861,
            0.924834003261792,
        ),
        (
            0.037037037037037035,
            0.0,
            0.0,
            0.17082860872947386,
            0.12546768756682242,
        ),
        (
            0.037109375,
            0.0,
            0.0,
            0.17025221101954405,
            0.06021653898045596,
            -0.017578125,
        ),
        (
            0.03709200011850479,
            0.0,
            0.0,
            0.17038392571223998,
            0.10726203044637328,
            -0.015319437748624402,
            0.008273789163814023,
        ),
        (
            0.6241109587160757,
            0.0,
            0.0,
            -3.3608926294469414,
            -0.868219346841726,
            27.59209969944671,
            20.154067550477894,
            -43.48988418106996,
        ),
        (
            0.47766253643826434,
            0.0,
            0.0,
            -2.4881146199716677,
            -0.590290826836843,
            21.230051448181193,
            15.279233632882423,
            -33.28821096898486,
            -0.020331201708508627,
        ),
        (
            -0.9371424300859873,
            0.0,
            0.0,
            5.186372428844064,
            1.0914373489967295,
            -8.149787010746927,
            -18.52006565999696,
            22.739487099350505,
            2.4936055526796523,
            -3.0467644718982196,
        ),
        (
            2.273310147516538,
            0.0,
            0.0,
            -10.53449546673725,
            -2.0008720582248625,
            -17.9589318631188,
            27.94888452941996,
            -2.8589982771350235,
            -8.87285693353063,
            12.360567175794303,
            0.6433927460157636,
        ),
    ),
    weights=(
        0.054293734116568765,
        0.0,
        0.0,
        0.0,
        0.0,
        4.450312892752409,
        1.8915178993145003,
        -5.801203960010585,
        0.3111643669578199,
        -0.1521609496625161,
        0.20136540080403034,
        0.04471061572777259,
    ),
)
"""J. R. Dormand and P. J. Prince, eighth order in twelve stages, as tabulated in E. Hairer, S. P.
Norsett and G. Wanner, Solving Ordinary Differential Equations I, 2nd ed., Springer, 1993, section
II.5 (taken from scipy's table of its method DOP853)."""
