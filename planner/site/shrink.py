r"""What few measurements say: shrunk towards the plan, with an interval.

**Ratios** (placing rate, material through the nozzle, volume found).  Let y = ln(measured /
planned).  The model is the conjugate one for a normal sample with unknown mean and variance:

.. math::

    y_i \sim N(\theta, \sigma^2), \quad
    \theta \mid \sigma^2 \sim N(0, \sigma^2 / \kappa_0), \quad
    \sigma^2 \sim \mathrm{Inv\text{-}Gamma}(a_0, b_0)

The prior says: the plan is right (mean 0), as surely as ``kappa_0`` measurements would tell.
With n measurements of mean m and sum of squares S about it the posterior has (A. Gelman and
others, Bayesian Data Analysis, 3rd edition, section 3.3; from memory, checked by numerical
integration in the tests)

.. math::

    \kappa_n = \kappa_0 + n,\quad \mu_n = \frac{n\,m}{\kappa_n},\quad a_n = a_0 + n/2,\quad
    b_n = b_0 + \frac{S}{2} + \frac{\kappa_0\,n\,m^2}{2\kappa_n}

and theta is Student with 2 a_n degrees of freedom, centre mu_n, scale sqrt(b_n / (a_n kappa_n)).

**Shares** (time lost).  Each crew's shift lost a share l of its time.  A beta prior with mean l_0
worth k_0 shifts is updated with whole shifts: alpha = k_0 l_0 + sum l, beta = k_0 (1 - l_0) +
sum (1 - l).  For shares between 0 and 1 this is wider than the truth, never narrower, since no
share with the same mean varies more than one that is 0 or 1.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from planner.site.quantiles import beta_quantile, t_quantile

INTERVAL = 0.80
"""Probability that the interval shown holds, if the model does [1]."""
_TAIL = (1.0 - INTERVAL) / 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioPrior:
    """What is believed before the first measurement.

    Attributes
    ----------
    worth
        How many measurements the plan is worth, kappa_0 [1].
    scatter
        Expected scatter of single log ratios; b_0 is set so that the mean of sigma² is its
        square [1].
    shape
        a_0; 3 leaves the scatter wide open but with a finite variance [1].
    """

    worth: float
    scatter: float
    shape: float = 3.0


RATE_PRIOR = RatioPrior(worth=2.0, scatter=0.25)
"""Single spells scatter by a quarter; the plan's rates are known to about 18 % (from memory)."""
NOZZLE_PRIOR = RatioPrior(worth=2.0, scatter=0.10)
"""Material for each m³ in place scatters by a tenth from spell to spell (from memory)."""
GROWTH_PRIOR = RatioPrior(worth=3.0, scatter=0.30)
"""Volumes found scatter by 30 % about the survey with its overbreak (from memory)."""

LOSS_MEAN = 0.05
"""Share of time expected to be lost before anything is known [1] (from memory; low on purpose)."""
LOSS_WORTH = 5.0
"""Shifts that this belief is worth [1]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Estimate:
    """A factor on what was planned, with its interval.

    Attributes
    ----------
    count
        Measurements behind it [1].
    raw
        Geometric mean of the measurements alone [1]; None: there is none.
    middle, low, high
        Shrunk factor, and the interval of :data:`INTERVAL` [1].
    scatter
        Scatter of single log ratios [1].
    log_variance
        Variance of the factor's logarithm [1].
    """

    count: int
    raw: float | None
    middle: float
    low: float
    high: float
    scatter: float
    log_variance: float


def ratio_estimate(log_ratios: Sequence[float], prior: RatioPrior) -> Estimate:
    """Return the factor that measured against planned values show (module docstring)."""
    count = len(log_ratios)
    mean = math.fsum(log_ratios) / count if count else 0.0
    squares = math.fsum((value - mean) ** 2 for value in log_ratios)
    worth = prior.worth + count
    centre = count * mean / worth
    shape = prior.shape + count / 2.0
    rest = (prior.shape - 1.0) * prior.scatter**2
    rest += squares / 2.0 + prior.worth * count * mean**2 / (2.0 * worth)
    scale = math.sqrt(rest / (shape * worth))
    reach = t_quantile(1.0 - _TAIL, 2.0 * shape) * scale
    return Estimate(
        count=count,
        raw=math.exp(mean) if count else None,
        middle=math.exp(centre),
        low=math.exp(centre - reach),
        high=math.exp(centre + reach),
        scatter=math.sqrt(rest / (shape - 1.0)),
        log_variance=scale**2 * shape / (shape - 1.0),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareEstimate:
    """A share of time with its interval [1]."""

    count: int
    raw: float | None
    middle: float
    low: float
    high: float
    variance: float


def share_estimate(
    shares: Sequence[float], *, mean: float = LOSS_MEAN, worth: float = LOSS_WORTH
) -> ShareEstimate:
    """Return the share that will be lost (module docstring).

    Parameters
    ----------
    shares
        Share lost in each shift, in [0, 1] [1].
    mean, worth
        The prior: its mean, and how many shifts it is worth [1].
    """
    count, lost = len(shares), math.fsum(shares)
    alpha = worth * mean + lost
    beta = worth * (1.0 - mean) + count - lost
    whole = alpha + beta
    return ShareEstimate(
        count=count,
        raw=lost / count if count else None,
        middle=alpha / whole,
        low=beta_quantile(_TAIL, alpha, beta),
        high=beta_quantile(1.0 - _TAIL, alpha, beta),
        variance=alpha * beta / (whole**2 * (whole + 1.0)),
    )
