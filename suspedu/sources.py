"""The bibliography: every source that code, tests or lessons name, spelt out once."""

from suspedu.units import InputError, nearest

SOURCES = {
    "carvill": "Carvill, J.: Mechanical Engineer's Data Handbook. Butterworth-Heinemann, 1993.",
    "merritt": "Merritt, H. E.: Hydraulic Control Systems. Wiley, 1967.",
    "shigley": "Budynas, R. G.; Nisbett, J. K.: Shigley's Mechanical Engineering Design, 10th ed. McGraw-Hill, 2015.",
    "timoshenko-plates": "Timoshenko, S. P.; Woinowsky-Krieger, S.: Theory of Plates and Shells, 2nd ed. "
    "McGraw-Hill, 1959.",
}


def cite(key: str) -> str:
    """Full reference of a source.

    Parameters: key, as in `SOURCES`.
    Returns: the reference as text.
    Raises: InputError for a key that is not in the bibliography.

    >>> cite("merritt").startswith("Merritt, H. E.")
    True
    """
    if key not in SOURCES:
        raise InputError(f"source '{key}' is not in the bibliography{nearest(key, SOURCES)}")
    return SOURCES[key]
