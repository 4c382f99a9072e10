"""What the acoustics package raises: both are ValueErrors, with value, limit and likely mistake in the message."""


class OutOfRangeError(ValueError):
    """An argument lies outside the range for which the formula holds."""


class NoSolutionError(ValueError):
    """The arguments are in range, but no length, note or plug satisfies them."""


def require_between(name: str, value: float, low: float, high: float, hint: str = "") -> None:
    """Raise `OutOfRangeError` unless ``low <= value <= high`` (NaN is always refused).

    Parameters
    ----------
    name : what the value is, with its unit, as the message should say it: ``"bore diameter in mm"``
    value, low, high : in that unit
    hint : the likely mistake, as a sentence, e.g. ``"Was it typed in inches?"``
    """
    if not low <= value <= high:
        tail = f" {hint}" if hint else ""
        raise OutOfRangeError(f"{name} is {value:g}; it must be from {low:g} to {high:g}.{tail}")
