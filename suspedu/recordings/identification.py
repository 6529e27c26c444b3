"""Parameters out of a test: least squares, bands that hold them all together, and what cannot be told apart."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy

from suspedu.recordings.fitting import as_recorded, evidence_of, put_all, slopes
from suspedu.recordings.reduction import Reduced
from suspedu.recordings.rig import Rig
from suspedu.recordings.unknowns import USUAL, Unknown, searchable, unknowns
from suspedu.units import InputError, shown

TOGETHER = 0.95  # chance that all bands of one test hold the true values at once
TWINS = 0.95  # of correlation, above which two unknowns are not told apart (guess of the course)
MOST_CALLS = 40  # of the search
INSIDE = np.array([[1e-3], [-1e-3]])  # where it starts, off the edges


@dataclass(frozen=True)
class Estimate:
    """One parameter as found, SI: value and the ends of its band."""

    unknown: Unknown
    value: float
    low: float
    high: float
    at_limit: bool

    def holds(self, value: float) -> bool:
        """Whether the band holds a value [SI]."""
        return self.low <= value <= self.high

    def __str__(self):
        least = 1e-5 * self.unknown.high  # below it a search has stopped at nothing
        at, low, high = (shown(0.0 if abs(each) < least else each, self.unknown.unit, 3)
                         for each in (self.value, self.low, self.high))
        return f"{self.unknown.name}: {at} ({low} to {high})"


@dataclass(frozen=True, eq=False)
class Identified:
    """All that a search found."""

    estimates: tuple[Estimate, ...]
    rig: Rig  # with what was found
    correlation: np.ndarray  # [n, n]
    misfit: float  # mean square of what is missed, over what may be; about one where the model's error was guessed well
    twins: tuple[tuple[str, str], ...]  # pairs that are not told apart
    unseen: tuple[str, ...]  # of which the test says nothing

    def __getitem__(self, name: str) -> Estimate:
        return next(each for each in self.estimates if each.unknown.name == name)

    @property
    def statement(self) -> str:
        """What this test cannot tell, in a sentence or more."""
        said = [f"{one} and {other} cannot be told apart here: only together they are known."
                for one, other in self.twins]
        said += [f"This test says nothing of {name}." for name in self.unseen]
        vague = {*self.unseen, *(name for pair in self.twins for name in pair)}
        said += [f"{each.unknown.name} lies at the end of its range: look for another cause." for each in self.estimates
                 if each.at_limit and each.unknown.name not in vague]
        return " ".join(text[0].upper() + text[1:] for text in said) or "All of these are told apart by this test."


def identified(test: Reduced, rig: Rig, names=None) -> Identified:
    """Quantities of a rig by least squares on a recording, each with a band.

    min (F_recorded - F_predicted)^T C^-1 (F_recorded - F_predicted), C of `fitting.error_covariance`;
    band = t_(1-a/2n) sqrt(diag (J^T C^-1 J)^-1 s), s the misfit where above one, n unknowns

    Parameters: test; rig, the damper as it should be; names of the unknowns [-], None for the usual ones that it has.
    Returns: an `Identified`; its bands hold all true values at once in 95 of 100 tests, as far as the laws go.
    Raises: InputError for an unknown that the rig does not have.
    Assumes: errors of the laws as C has them; bands by the slopes at the place found.

    >>> from suspedu.damper import stock_damper
    >>> from suspedu.recordings import Rig, identified, reduced, sine_recording
    >>> found = identified(reduced(sine_recording(0.025, 1.0)), Rig(stock_damper("closed cartridge")), ["friction"])
    >>> found["friction"].holds(12.0), found.estimates[0].unknown.unit
    (True, 'N')

    Source: seber-wild, section 5.3, bands by the slopes; dunn-1961, several at once (printed, from memory)
    """
    rig = as_recorded(rig, test)
    searched = unknowns(list(names if names is not None else searchable(rig, USUAL)), rig)
    evidence = evidence_of(test, rig)
    edges = np.array([(float(each.coordinate(each.low)), float(each.coordinate(each.high))) for each in searched]).T
    start = np.clip([float(each.coordinate(max(each.read(rig), each.low))) for each in searched], *(edges + INSIDE))

    def missed(coordinates):
        return evidence.missed(put_all(rig, searched, coordinates))

    found = scipy.optimize.least_squares(missed, start, jac=lambda at: slopes(missed, at, missed(at), edges),
                                         bounds=edges, x_scale=0.1, max_nfev=MOST_CALLS)
    if len(found.fun) <= len(searched):
        raise InputError(f"{len(found.fun)} rows are too few for {len(searched)} unknowns")
    return _judged(found, searched, edges, put_all(rig, searched, found.x))


def _judged(found, searched, edges, rig) -> Identified:
    """Bands, twins and what is not seen, from the slopes at the place found."""
    freedom = len(found.fun) - len(searched)
    misfit = float(found.fun @ found.fun) / freedom
    spread, correlation = covariance(found.jac)
    wide = student_t(TOGETHER, len(searched), freedom) * np.sqrt(max(misfit, 1.0)) * spread
    estimates = tuple(_estimate(*row) for row in zip(searched, found.x, wide, edges.T, strict=True))
    unseen = tuple(each.unknown.name for each, half, (low, high) in zip(estimates, wide, edges.T, strict=True)
                   if half > (high - low) / 2.0)
    return Identified(estimates, rig, correlation, misfit, _twins(searched, correlation), unseen)


def _estimate(unknown, coordinate, wide, limits) -> Estimate:
    low, high = np.clip([coordinate - wide, coordinate + wide], *limits)
    at_limit = bool(min(coordinate - limits[0], limits[1] - coordinate) < 5e-3)
    return Estimate(unknown, *(float(unknown.value(each)) for each in (coordinate, low, high)), at_limit)


def _twins(searched, correlation) -> tuple[tuple[str, str], ...]:
    return tuple((searched[i].name, searched[j].name) for i in range(len(searched)) for j in range(i + 1, len(searched))
                 if abs(correlation[i, j]) > TWINS)


def covariance(slopes_there):
    """Standard deviations for errors of one, and correlations, of least-squares parameters.

    C = (J^T J)^-1 by singular values, those below a millionth of the largest set to it

    Parameters: slopes_there J [m, n, -]. Returns: deviations [n, -]; correlation [n, n, -].

    >>> deviations, correlation = covariance(np.array([[1.0, 1.0], [0.0, 1.0]]))
    >>> deviations.round(3).tolist(), float(correlation[0, 1].round(3))
    ([1.414, 1.0], -0.707)
    """
    size = np.linalg.norm(slopes_there, axis=0)
    size = np.where(size > 0.0, size, 1e-9)
    _, values, turned = np.linalg.svd(slopes_there / size, full_matrices=False)
    inverse = turned.T / np.maximum(values, 1e-6 * values[0])
    whole = inverse @ inverse.T
    deviations = np.sqrt(np.diag(whole))
    return deviations / size, whole / np.outer(deviations, deviations)


def student_t(together: float, count: int, freedom) -> float:
    """Half-width of each of several bands that hold at once with a chance of `together`, in standard deviations.

    t at 1 - (1 - together)/(2 count), by Bonferroni's inequality

    Parameters: together, chance [-]; count of bands; freedom, degrees of freedom [-]. Returns: factor [-].

    >>> round(student_t(0.95, 1, 10.0), 3)
    2.228

    Source: student-1908; dunn-1961 (printed, from memory)
    """
    return float(scipy.special.stdtrit(freedom, 1.0 - (1.0 - together) / (2.0 * count)))
